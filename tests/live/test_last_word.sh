#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The last word: whatever ends, freezes or is cut off while a heater is on, its plug is off within one
# lease of the last command, for plugs of several kinds, with the guard and without. Each kind has a
# broker, a simulator and a program of its own, and all play at once. Prints TAP.
#   test_last_word.sh                       all of it
#   test_last_word.sh KIND GUARD FAILURE... one of them, lines without numbers
# Topics of the hub have a $ in them, and rig.sh and case.sh set what is used here.
# shellcheck disable=SC2016,SC2154,SC2034,SC1091
set -u

# What is played: kind of plug, guard, failures one after the other.
plays='honest guard end kill freeze cut twin
honest guard broker-kill broker-freeze all
honest guard disk wrong-file reload
honest guard guard-kill guard-freeze unguarded
honest alone end kill freeze broker-kill both
honest alone disk cut twin broker-freeze
pulse guard kill freeze all
pulse alone kill freeze both
late guard kill freeze broker-kill
late alone kill freeze both
meter guard kill freeze all
meter alone kill freeze both
wrong guard never'

if [ $# -eq 0 ]; then
    folder=$(mktemp -d) || exit 1
    trap 'rm -rf "$folder"' EXIT
    n=0
    echo "$plays" >"$folder/plays"
    while read -r line; do
        n=$((n + 1))
        # A play is a list of words: it is meant to be split.
        # shellcheck disable=SC2086
        "$0" $line >"$folder/$n.tap" 2>&1 </dev/null &
    done <"$folder/plays"
    wait
    planned=$(awk '{ p += NF - 1 } END { print p }' "$folder/plays")
    echo "1..$planned"
    # Every play prints a line for coming on at first and one a failure.
    cat "$folder"/*.tap | awk '/^ok / { sub(/^ok /, "ok " ++n " - ") }
        /^not ok / { sub(/^not ok /, "not ok " ++n " - ") } { print }'
    exit 0
fi

kind=$1 guard=$2
shift 2
. "$(dirname "$0")/rig.sh"
. "$(dirname "$0")/case.sh"

# Seconds from the last command that kept it on to its off, by the plug's own log.
off_after() {
    awk '$3 == "on" || $3 == "renewed" { on = $1 } $3 == "off" { off = $1 }
        function s(t) { return substr(t, 9, 2) * 86400 + substr(t, 12, 2) * 3600 + \
            substr(t, 15, 2) * 60 + substr(t, 18, 2) }
        END { print off == "" ? 9999 : s(off) - s(on) }' "$scratch/sim.out"
}

# Off within a lease and the second that times are cut to.
goes_off() {
    until_so 8 is_off || { echo "it stays on"; return 1; }
    after=$(off_after)
    echo "off $after s after the last command"
    [ "$after" -le $((lease_s + 1)) ]
}
comes_on() { until_so 20 is_on; }
# It was on all the time: never off, and renewed since.
stays_on() {
    lines=$(wc -l <"$scratch/sim.out")
    sleep 2
    ! tail -n "+$((lines + 1))" "$scratch/sim.out" | grep ' heater off ' &&
        tail -n "+$((lines + 1))" "$scratch/sim.out" | grep -q ' heater renewed '
}
guarded() { [ "$guard" = alone ] || start_guard; }

# One failure: what is done, then true where the plug is off in time; last, all is well again.
fail() {
    case $1 in
        end) kill -TERM "$run_pid"; goes_off && wait "$run_pid" ;;
        kill) kill -KILL "$run_pid"; goes_off ;;
        freeze) # longer than a lease, as in a suspended machine; it thaws with off first
            kill -STOP "$run_pid"
            goes_off
            well=$?
            lines=$(wc -l <"$scratch/sim.out")
            : >"$scratch/thaw.out"
            start_ear thaw
            kill -CONT "$run_pid"
            until_so 5 said thaw.out '^. yard/heater/set '
            grep -a -m 1 '^. yard/heater/set ' "$scratch/thaw.out" | grep -q 'set off' && [ "$well" -eq 0 ]
            ;;
        cut) # another client takes its connection away
            mosquitto_sub -p "$port" -i overwinter-yard -t yard/nothing -W 1 >/dev/null 2>&1
            goes_off
            ;;
        guard-kill) kill -KILL "$guard_pid"; stays_on ;;
        guard-freeze) kill -STOP "$guard_pid"; stays_on ;;
        unguarded) kill -KILL "$guard_pid"; kill -KILL "$run_pid"; goes_off ;;
        broker-kill) kill -KILL "$broker_pid"; goes_off ;;
        broker-freeze) kill -STOP "$broker_pid"; goes_off ;;
        both) kill -KILL "$run_pid" "$broker_pid"; goes_off ;;
        all) kill -KILL "$run_pid" "$broker_pid" "$guard_pid"; goes_off ;;
        twin) # a second instance, with this store and with another, changes nothing
            sed "s|$scratch/store|$scratch/other|" "$scratch/garden.json" >"$scratch/twin.json"
            for file in "$scratch/garden.json" "$scratch/twin.json"; do
                timeout 20 "$build/overwinter" run "$file" --pace "$pace" \
                    --from "$(utc "$(now_s)")" >/dev/null 2>&1
                [ $? -eq 3 ] || return 1
            done
            stays_on
            ;;
        wrong-file)
            sed -i.good 's/"depth_mm": 280/"depth_mm": 28000/' "$scratch/garden.json"
            kill -HUP "$run_pid"
            until_so 5 said run.err 'not taken' && stays_on
            well=$?
            mv "$scratch/garden.json.good" "$scratch/garden.json"
            return "$well"
            ;;
        reload) kill -HUP "$run_pid"; goes_off ;;
        disk) # no file may grow past 600 bytes any more; then the program dies as well
            prlimit --pid "$run_pid" --fsize=600
            say "$tree/lemon/wearing/set" '["fleece"]' # worth keeping
            until_so 15 said run.err 'the one before is kept' && stays_on || return 1
            kill -KILL "$run_pid"
            goes_off
            ;;
        never) ! grep ' heater on ' "$scratch/sim.out" ;;
    esac
}
mend() {
    case $1 in
        end | kill | disk) start_run ;;
        guard-kill) start_guard ;;
        guard-freeze) kill -CONT "$guard_pid" ;;
        unguarded) start_run && start_guard ;;
        broker-kill) start_broker ;;
        broker-freeze) kill -CONT "$broker_pid" ;;
        both) start_broker && start_run ;;
        all) start_broker && start_run && guarded ;;
        never) return 0 ;;
    esac
    until_so 20 is_on
}
what() {
    case $1 in
        end) echo "the program is told to end, and ends well" ;;
        kill) echo "the program is killed" ;;
        freeze) echo "the program is frozen for longer than a lease, and thaws with off" ;;
        cut) echo "its connection is taken away" ;;
        guard-kill) echo "the guard is killed and the program goes on" ;;
        guard-freeze) echo "the guard is frozen and the program goes on" ;;
        unguarded) echo "the guard is killed, then the program" ;;
        broker-kill) echo "the broker is killed" ;;
        broker-freeze) echo "the broker is frozen" ;;
        both) echo "program and broker are killed together" ;;
        all) echo "program, broker and guard are killed together" ;;
        twin) echo "a second instance is refused and changes nothing" ;;
        wrong-file) echo "a wrong garden file is refused and changes nothing" ;;
        reload) echo "the garden file is read anew" ;;
        disk) echo "the disk is full: it goes on, then the program is killed" ;;
        never) echo "it is never switched on" ;;
    esac
}

line() { # line NAME STATUS
    if [ "$2" -eq 0 ]; then
        echo "ok $kind plug, $guard: $1"
    else
        echo "not ok $kind plug, $guard: $1"
        for file in check.txt sim.out run.err guard.err broker.err; do
            [ ! -s "$scratch/$file" ] || tail -n 8 "$scratch/$file" | sed "s/^/# $file: /"
        done
    fi
}

start_broker || exit 1
garden
[ "$kind" != meter ] || by_meter
weather
manner=$kind
[ "$kind" != meter ] || manner=honest
start_sim --device heater="$manner"
start_run
guarded
if [ "$kind" = wrong ]; then
    start_ear ear
    sleep 8
    [ "$(grep -a -c '^. yard/heater/set off' "$scratch/ear.out")" -ge 5 ]
    line "off is said again and again while it says on" $?
else
    comes_on >"$scratch/check.txt" 2>&1
    line "it comes on" $?
fi
for failure in "$@"; do
    fail "$failure" >"$scratch/check.txt" 2>&1
    status=$?
    mend "$failure" >>"$scratch/check.txt" 2>&1 || { status=1; echo "not on again" >>"$scratch/check.txt"; }
    line "$(what "$failure")" "$status"
done
