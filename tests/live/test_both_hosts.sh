#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The program beside one broker and the plugin inside another hear the same messages, and say the
# same of the garden; the plugin never commands an output, and no garden file stops its broker.
# Both run by the world's clock. Prints TAP.
# Topics of the hub have a $ in them, and rig.sh and case.sh set what is used here.
# shellcheck disable=SC2016,SC2154,SC2034,SC1091
set -u
. "$(dirname "$0")/rig.sh"
. "$(dirname "$0")/case.sh"

# Says a thing to both brokers.
say_both() {
    for p in $beside $inside; do mosquitto_pub -p "$p" -q 1 -t "$1" -m "$2"; done
}
at() { # at PORT TOPIC: what that broker has stored
    mosquitto_sub -p "$1" -t "$tree/$2" --retained-only -W 1 -C 1 2>/dev/null
}
is_up() { [ "$(at "$1" '$state')" = ready ]; }
judged() { at "$1" lemon/reason | grep -q 'fall to'; }
same() { # same TOPIC
    a=$(at "$beside" "$1") b=$(at "$inside" "$1")
    printf 'beside: %s\ninside: %s\n' "$a" "$b"
    [ -n "$a" ] && [ "$a" = "$b" ]
}
hears() { mosquitto_pub -p "$port" -t rig/hello -m hello; }

# Two days of hard frost from the next hour on.
ahead() {
    awk -v now="$(date +%s)" 'BEGIN {
        for (h = 1; h <= 72; h++)
            printf "%s{\"at\":%d,\"c\":-9}", (h > 1 ? "," : "["), now - now % 3600 + h * 3600
        print "]"
    }'
}

# The plugin takes its broker's time zone, the program its garden's: here they are the same.
export TZ='CET-1CEST,M3.5.0,M10.5.0/3'

echo 1..13
start_broker || exit 1
beside=$port
garden
start run "$build/overwinter" run "$scratch/garden.json"
first_pid=$broker_pid
port=$((port + 1))
sed "s/$beside/$port/; s|\"store\": \"[^\"]*\"|\"store\": \"$scratch/inside\"|" "$scratch/garden.json" \
    >"$scratch/inside.json"
mkdir -p "$scratch/inside"
start_broker "plugin $build/overwinter-broker.so
plugin_opt_config $scratch/inside.json" || exit 1
inside=$port
start ear mosquitto_sub -p "$inside" -t 'yard/heater/set'
until_so 20 is_up "$beside"
say_both yard/ahead "$(ahead)"
for _ in 1 2 3; do
    say_both yard/air '{"c":-4}'
    say_both yard/porch -4
    sleep 1
done
until_so 20 judged "$beside"
until_so 20 judged "$inside"
ok "both are ready" test "$(at "$beside" '$state')$(at "$inside" '$state')" = readyready
for topic in '$description' lemon/state lemon/reason lemon/act-by lemon/quality lemon/place garden/jobs; do
    ok "both say the same on $topic" same "$topic"
done
ok "inside, outputs are blocked" test -n "$(at "$inside" heater/blocked-by | grep 'cannot promise')"
ok "though it says what it would do" test -n "$(at "$inside" heater/would-switch)"
ok "no command was ever said" test ! -s "$scratch/ear.out"

sed -i 's/"pot"/"pott"/' "$scratch/inside.json"
kill -HUP "$broker_pid"
ok "a wrong file leaves the garden as it was" until_so 5 said broker.err 'the garden goes on'
end_of "$broker_pid"
start_broker "plugin $build/overwinter-broker.so
plugin_opt_config $scratch/inside.json"
ok "and does not keep the broker from starting" hears
end_of "$first_pid"
