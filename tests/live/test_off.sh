#!/bin/sh
# SPDX-License-Identifier: MIT
#
# With the heater on, the program, the broker and the guard are killed and frozen: each time the
# plug is off within one lease of the last command, and on again when all is well. Prints TAP.
# Topics of the hub have a $ in them, and rig.sh and case.sh set what is used here.
# shellcheck disable=SC2016,SC2154,SC2034,SC1091
set -u
. "$(dirname "$0")/rig.sh"
. "$(dirname "$0")/case.sh"

# Seconds from the last command that kept it on to its off, by the plug's own log.
off_after() {
    awk '$3 == "on" || $3 == "renewed" { on = $1 } $3 == "off" { off = $1 }
        function s(t) { return substr(t, 9, 2) * 86400 + substr(t, 12, 2) * 3600 + \
            substr(t, 15, 2) * 60 + substr(t, 18, 2) }
        END { print off == "" ? 9999 : s(off) - s(on) }' "$scratch/sim.out"
}

# The plug goes off, by what the pattern says, within a lease and the second that times are cut to.
goes_off() { # goes_off PATTERN
    until_so 5 is_off || { echo "it stays on"; return 1; }
    after=$(off_after)
    echo "off $after s after the last command"
    [ "$after" -le $((lease_s + 1)) ] && tail -n 1 "$scratch/sim.out" | grep -q "heater off $1"
}
comes_on() { until_so 15 is_on; }
stays_on() { sleep 3; is_on; }

echo 1..17
start_broker || exit 1
garden
weather
start_sim
start_run
start_guard
ok "in frost the heater comes on" comes_on
ok "and its lease is renewed" until_so 5 said sim.out ' heater renewed 30$'

kill -KILL "$run_pid"
ok "the program is killed: the plug is off" goes_off 'by command'
ok "by the guard, which gives one notice" until_so 5 said guard.err 'nobody minds'
start_run
ok "the program is back: it comes on" comes_on

kill -STOP "$run_pid"
ok "the program is frozen: the plug is off" goes_off 'by'
kill -CONT "$run_pid"
ok "it thaws: it comes on again" comes_on

kill -KILL "$guard_pid"
ok "the guard is killed: the program goes on" stays_on
kill -KILL "$run_pid"
ok "then the program too: the plug's own timer ends it" goes_off 'by its timer'
start_guard
start_run
ok "both are back: it comes on" comes_on

kill -STOP "$guard_pid"
ok "the guard is frozen: the program goes on" stays_on
kill -CONT "$guard_pid"

kill -STOP "$broker_pid"
ok "the broker is frozen: the plug's own timer ends it" goes_off 'by its timer'
kill -CONT "$broker_pid"
ok "it thaws: it comes on again" comes_on

kill -KILL "$broker_pid"
ok "the broker is killed: the plug's own timer ends it" goes_off 'by its timer'
start_broker
ok "the broker is back: it comes on again" comes_on

kill -TERM "$run_pid"
ok "the program is told to end: it says off first" goes_off 'by command'
wait "$run_pid"
code=$?
ok "and ends well" test "$code" -eq 0
