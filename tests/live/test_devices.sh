#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Devices of several manners, live: a plug that reports late, one that always says on, a meter, a
# door; a motor with end contacts that draws a cloth, and one that is jammed. Prints TAP.
# Topics of the hub have a $ in them, and rig.sh and case.sh set what is used here.
# shellcheck disable=SC2016,SC2154,SC2034,SC1091
set -u
. "$(dirname "$0")/rig.sh"
. "$(dirname "$0")/case.sh"

holds() { # holds TOPIC PATTERN
    seen=$(stored "$tree/$1")
    echo "$1 is \"$seen\""
    echo "$seen" | grep -q -e "$2"
}
comes_on() { until_so 15 said sim.out ' heater on '; }
never_on() { ! grep ' heater on ' "$scratch/sim.out"; }
# Never both ways without a stop between them.
one_way_at_a_time() {
    awk '$2 == "cloth" && /ing by/ { if (way != "" && way != $3) { print; bad = 1 } way = $3 }
        $2 == "cloth" && ($3 == "closed" || $3 == "open" || $3 == "stopped") { way = "" }
        END { exit bad }' "$scratch/sim.out"
}

# The small garden with a meter and a door for the heater, wind, and a cloth.
full_garden() {
    garden
    sed -i -e 's|^    { "id": "porch-air"|    { "id": "wind", "measures": "wind", "topic": "yard/wind" },\
    { "id": "rain", "measures": "rain", "topic": "yard/rain" },\
    { "id": "watts", "measures": "power", "topic": "yard/heater/watts" },\
    { "id": "door", "measures": "contact", "topic": "yard/door", "open": "1", "shut": "0" },\
    { "id": "shut-end", "measures": "contact", "topic": "yard/cloth/shut", "open": "1", "shut": "0" },\
    { "id": "open-end", "measures": "contact", "topic": "yard/cloth/open", "open": "1", "shut": "0" },\
&|' -e 's|"least_rest_min": 0,|& "power": "watts", "blocked_while_open": ["door"],|' \
        -e 's|^  "household"|  "comment": 0,\n&|' "$scratch/garden.json"
    awk '/"comment"/ { next } { print }
        /^  "outputs": \[/ {
            print "    { \"id\": \"cloth\", \"kind\": \"cloth drive\", \"place\": \"open\","
            print "      \"covers\": [\"lemon\"], \"topic\": \"yard/cloth/set\", \"close\": \"close\","
            print "      \"open\": \"open\", \"stop\": \"stop\", \"lease_s\": 20, \"off_by_itself_s\": 60,"
            print "      \"travel_s\": 60, \"closed_end\": \"shut-end\", \"open_end\": \"open-end\","
            print "      \"cautions_read\": true },"
        }' "$scratch/garden.json" >"$scratch/full.json"
    mv "$scratch/full.json" "$scratch/garden.json"
}
still_air() { # a light wind, which a cloth bears, and no rain
    weather
    sed -i -e '1s/$/,wind_ms,rain_mm/' -e '2,$s/$/,1.5,0/' "$scratch/weather.csv"
}

echo 1..12
start_broker || exit 1
full_garden
still_air
start_sim --device heater=late --open "door=$(utc $((from_s + 420))),$(utc $((from_s + 600)))"
start_run
ok "a plug that reports late is switched" comes_on
ok "the cloth is drawn, since frost is ahead" until_so 15 said sim.out ' cloth \(closed\|stopped by\)'
ok "and its position is told" until_so 5 holds cloth/position '^100$'
ok "its target too" holds 'cloth/position/$target' '^100$'
ok "one way at a time" one_way_at_a_time
ok "the door opens: off by command" until_so 25 said sim.out ' heater off by command'
ok "and the reason is told" until_so 3 holds heater/blocked-by 'must be shut is open'
: >"$scratch/sim.out"
ok "it shuts: on again" comes_on
end_of "$run_pid"
end_of "$sim_pid"

rm -rf "$scratch/store"
start_sim --device heater=wrong --device cloth=stuck
start_run
ok "a plug that says on while off is blamed" until_so 15 holds heater/blocked-by 'says that it is on'
ok "and never switched on" never_on
ok "a motor that does not arrive is stopped and blamed" until_so 20 holds cloth/blocked-by \
    'did not reach its end'
ok "a person is asked to see to it" until_so 3 holds '$alert/cloth' 'what jams it'
