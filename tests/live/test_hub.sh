#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The garden on the hub, with a real broker and a plain client beside it: topics, retained flags,
# order, the will, what may be set, one instance, reload and end. Prints TAP.
# Topics of the hub have a $ in them, and rig.sh and case.sh set what is used here.
# shellcheck disable=SC2016,SC2154,SC2034,SC1091
set -u
. "$(dirname "$0")/rig.sh"
. "$(dirname "$0")/case.sh"

# The patterns come in this order, each in a line of its own. (An empty text of the hub is a zero
# byte: the file is no text to grep.)
in_order() { # in_order FILE PATTERN...
    file=$scratch/$1
    shift
    line=0
    for pattern in "$@"; do
        next=$(tail -n "+$((line + 1))" "$file" | grep -a -n -m 1 -e "$pattern" | cut -d : -f 1)
        [ -n "$next" ] || { echo "not in its turn: $pattern"; cat "$file"; return 1; }
        line=$((line + next))
    done
}
never() { ! grep -a -e "$2" "$scratch/$1"; } # never FILE PATTERN
holds() { # holds TOPIC VALUE: what the broker has stored
    seen=$(stored "$tree/$1")
    [ "$seen" = "$2" ] || { echo "$1 is \"$seen\", not \"$2\""; return 1; }
}
is_ready() { holds '$state' ready; }
is_something() { seen=$(stored "$tree/$1"); [ -n "$seen" ] || { echo "$1 is empty"; return 1; }; }
comes_on() { until_so 15 is_on; }
beats() { # changes at least every third of the lease: 6 in a minute, one less at the edges
    begun=$(grep -c "$tree/garden/beat" "$scratch/ear.out")
    sleep 3
    ended=$(grep -c "$tree/garden/beat" "$scratch/ear.out")
    echo "$((ended - begun)) beats in 60 s"
    [ $((ended - begun)) -ge 5 ]
}
second_is_refused() { # second_is_refused GARDEN WORDS
    "$build/overwinter" run "$1" --pace "$pace" --from "$(utc "$(now_s)")" >"$scratch/second" 2>&1
    code=$?
    cat "$scratch/second"
    [ "$code" -eq 3 ] && grep -q "$2" "$scratch/second"
}

echo 1..27
start_broker || exit 1
garden
weather
start_ear ear
say yard/porch -9 -r
say yard/air '{"c":-9}' -r
start_run
until_so 10 is_ready
sleep 5 # a minute and a half of the garden
ok "stored readings arm nothing" never ear.out '^. yard/heater/set on'
say yard/porch '' -r
say yard/air '' -r
start_sim
ok "fresh ones do" comes_on
ok "it comes up in the convention's order" in_order ear.out "^1 $tree/\$state init" \
    "^1 $tree/\$description {" "^1 $tree/lemon/state " "^1 $tree/\$state ready"
ok "the description says Homie 5" said ear.out "$tree/.description .*\"homie\":\"5\\.0\""
ok "and has every thing" said ear.out "description .*\"lemon\".*\"heater\".*\"household-ada\""
ok "the state of a plant is stored" until_so 10 is_something lemon/reason
ok "and asks for a hand in such frost" until_so 10 said ear.out "^1 $tree/lemon/state \\(cov\\|car\\)"
ok "somebody is told" until_so 10 said ear.out "^1 $tree/household-ada/notice {"
ok "commands are never retained" never ear.out '^1 yard/heater/set'
ok "they carry the lease" said ear.out '^0 yard/heater/set on 30$'
ok "the beat changes at least every third of a lease" beats

say "$tree/lemon/wearing/set" '["fleece"]'
ok "a cover that is put on is reflected" until_so 5 holds lemon/wearing '["fleece"]'
say "$tree/lemon/wearing/set" '["felt"]'
ok "one that is not there is refused and said" until_so 5 said ear.out '^0 .*log/warn .*felt'
say "$tree/lemon/wearing/set" '[]' -r
ok "a retained command is ignored and said" until_so 5 said ear.out '^0 .*log/warn .*retained'
say "$tree/lemon/wearing/set" '' -r
ok "nothing of that was taken" holds lemon/wearing '["fleece"]'

say "$tree/garden/stop/set" true
ok "a stop by hand switches off" until_so 5 is_off
say "$tree/heater/release/set" ada
ok "a release lets it on again" comes_on

ok "a second instance is refused its store" second_is_refused "$scratch/garden.json" store
sed "s|$scratch/store|$scratch/other|" "$scratch/garden.json" >"$scratch/twin.json"
ok "and one with another store hears the first" second_is_refused "$scratch/twin.json" 'another instance'

sed -i.good 's/"depth_mm": 280/"depth_mm": 28000/' "$scratch/garden.json"
kill -HUP "$run_pid"
ok "a wrong garden file is told" until_so 5 said run.err 'depth_mm is 28000.*'
ok "and the old garden goes on" until_so 5 said run.err 'not taken'
mv "$scratch/garden.json.good" "$scratch/garden.json"
: >"$scratch/ear.out"
kill -HUP "$run_pid"
until_so 5 said ear.out "state ready"
ok "a good one is taken, off first" in_order ear.out '^0 yard/heater/set off' "state disconnected" \
    "state init" "state ready"
until_so 15 is_on
kill -KILL "$run_pid"
ok "when it is killed the broker says lost" until_so 5 holds '$state' lost
start_run
until_so 10 is_ready
ok "what it knew is kept" until_so 5 holds lemon/wearing '["fleece"]'
until_so 15 is_on
: >"$scratch/ear.out"
kill -TERM "$run_pid"
wait "$run_pid"
code=$?
sleep 0.3
ok "asked to end it says off, then disconnected" in_order ear.out '^0 yard/heater/set off' \
    "^1 $tree/\$state disconnected"
ok "nothing is said after that" test -z "$(sed '1,/state disconnected/d' "$scratch/ear.out" | grep "$tree")"
ok "and ends well" test "$code" -eq 0
