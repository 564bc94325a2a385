#!/bin/sh
# SPDX-License-Identifier: MIT
#
# A broker that is not there, goes away, comes back or freezes. Prints TAP.
# Topics of the hub have a $ in them, and rig.sh and case.sh set what is used here.
# shellcheck disable=SC2016,SC2154,SC2034,SC1091
set -u
. "$(dirname "$0")/rig.sh"
. "$(dirname "$0")/case.sh"

comes_on() { until_so 15 is_on; }
is_ready() { [ "$(stored "$tree/\$state")" = ready ]; }
lives() { ! gone "$run_pid"; }
ends_with() { # ends_with CODE WORDS ARGUMENTS...
    meant=$1 words=$2
    shift 2
    timeout 20 "$build/overwinter" run "$@" >"$scratch/ended" 2>&1
    code=$?
    cat "$scratch/ended"
    [ "$code" -eq "$meant" ] && grep -q "$words" "$scratch/ended"
}

echo 1..11
start_broker || exit 1 # finds a free port
end_of "$broker_pid"
garden
weather
ok "with --once a broker that is not there ends it" ends_with 3 'cannot be reached' \
    "$scratch/garden.json" --once
sed "s|\"port\": $port|\"port\": $port, \"ca_file\": \"$scratch/none.pem\"|" "$scratch/garden.json" \
    >"$scratch/tls.json"
ok "TLS that cannot be set up ends it" ends_with 1 'TLS' "$scratch/tls.json"

start_run
sleep 2
ok "without --once it waits" lives
start_broker
start_sim
ok "and is there soon after the broker" until_so 12 is_ready
ok "with all that it listens to" comes_on

kill -KILL "$broker_pid"
until_so 5 is_off
start_broker # with nothing stored
ok "a broker that lost everything is told anew" until_so 12 is_ready
ok "down to the plants" test -n "$(stored "$tree/lemon/state")"
ok "and heard anew" comes_on

until_so 15 is_on
: >"$scratch/run.err"
kill -STOP "$broker_pid"
ok "a frozen broker is noticed" until_so 30 said run.err 'lost the broker'
ok "the plug ended by its own timer" said sim.out 'off by its timer'
kill -CONT "$broker_pid"
ok "and all is well when it thaws" comes_on
