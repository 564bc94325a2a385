# SPDX-License-Identifier: MIT
# shellcheck shell=sh disable=SC2034,SC2154
#
# Read by the tests of a live garden, after tests/live/rig.sh: a small garden with a heater, steady
# frost, a clock 20 times as fast, and TAP. A lease of 30 s is 1.5 s here.

pace=20
lease_s=30
from_s=1767571200 # 2026-01-05T00:00:00Z
until=2026-01-09
tree=homie/5/yard

# Writes garden.json.
garden() {
    cat >"$scratch/garden.json" <<END
{
  "garden": "yard",
  "site": { "latitude_deg": 50, "longitude_deg": 10, "time_zone": "CET-1CEST,M3.5.0,M10.5.0/3" },
  "broker": { "host": "127.0.0.1", "port": $port },
  "store": "$scratch/store",
  "readings": [
    { "id": "air", "measures": "air", "topic": "yard/air", "pointer": "/c" },
    { "id": "porch-air", "measures": "air", "place": "porch", "topic": "yard/porch" }
  ],
  "forecast": { "topic": "yard/ahead", "time": "/at", "air": "/c" },
  "places": [
    { "id": "open", "kind": "open sky" },
    { "id": "porch", "kind": "glasshouse", "floor_m2": 8, "glazing_m2": 26 }
  ],
  "covers": [ { "id": "fleece", "kind": "fleece", "count": 2 } ],
  "plants": [
    { "id": "lemon", "taxon": "Citrus limon", "place": "open", "covers": ["fleece"],
      "pot": { "diameter_mm": 300, "depth_mm": 280 } }
  ],
  "outputs": [
    { "id": "heater", "kind": "heater", "place": "porch", "watts": 1500, "keep_air_above_c": 4,
      "topic": "yard/heater/set", "on": "on {seconds}", "off": "off",
      "lease_s": $lease_s, "off_by_itself_s": $lease_s,
      "reported": { "topic": "yard/heater/state", "on": "on", "off": "off" },
      "shortest_on_min": 0, "shortest_off_min": 0, "least_rest_min": 0, "cautions_read": true }
  ],
  "household": [ { "id": "ada" } ]
}
END
}

# A plug that only a meter tells of: no report, its power on a topic.
by_meter() {
    sed -i -e 's|^    { "id": "porch-air"|    { "id": "watts", "measures": "power", "topic": "yard/heater/watts" },\
&|' -e 's|"reported": {[^}]*},|"power": "watts",|' "$scratch/garden.json"
}

# A door that must be shut while it heats.
with_door() {
    sed -i -e 's|^    { "id": "porch-air"|    { "id": "door", "measures": "contact", "topic": "yard/door", "open": "1", "shut": "0" },\
&|' -e 's|"least_rest_min": 0,|& "blocked_while_open": ["door"],|' "$scratch/garden.json"
}

# Frost that does not end, hour by hour for four days.
weather() {
    awk 'BEGIN {
        print "time,air_c"
        for (h = 0; h <= 96; h++) printf "2026-01-%02dT%02d:00:00Z,-9\n", 5 + int(h / 24), h % 24
    }' >"$scratch/weather.csv"
}

utc() { date -u -d "@$1" +%Y-%m-%dT%H:%M:%SZ; }

# The garden's time now; before the simulator was started it stands still.
now_s() {
    awk -v start="${began:-}" -v pace="$pace" -v from="$from_s" \
        '{ printf "%d\n", start == "" ? from : from + ($1 - start) * pace }' /proc/uptime
}

start_sim() { # start_sim OPTIONS...
    : >"$scratch/sim.out"
    at=$(now_s)
    [ -n "${began:-}" ] || began=$(cut -d ' ' -f 1 /proc/uptime)
    start sim "$build/sim" "$scratch/garden.json" "$scratch/weather.csv" --pace "$pace" \
        --from "$(utc "$at")" --until "$until" --every 10 "$@"
}

start_run() {
    start run "$build/overwinter" run "$scratch/garden.json" --pace "$pace" --from "$(utc "$(now_s)")"
}

start_guard() {
    start guard "$build/overwinter-guard" "$scratch/garden.json" --pace "$pace"
}

# Everything that is said on the broker, a line a message: retained flag, topic, payload.
start_ear() { # start_ear NAME
    start "$1" mosquitto_sub -p "$port" -q 1 -V 5 --retain-as-published -F '%r %t %p' -t '#'
    sleep 0.2
}

say() { # say TOPIC PAYLOAD OPTIONS...
    topic=$1 payload=$2
    shift 2
    mosquitto_pub -p "$port" -q 1 -t "$topic" -m "$payload" "$@"
}

# What the broker has stored on a topic, empty when nothing.
stored() {
    mosquitto_sub -p "$port" -t "$1" --retained-only -W 1 -C 1 2>/dev/null
}

is_on() { tail -n 1 "$scratch/sim.out" | grep -q ' heater \(on\|renewed\) '; }
is_off() { tail -n 1 "$scratch/sim.out" | grep -q ' heater off '; }
said() { grep -q -e "$2" "$scratch/$1"; } # said FILE PATTERN

. "$root/tests/tap.sh"
evidence() {
    for file in check.txt sim.out run.err guard.err broker.err; do
        [ ! -s "$scratch/$file" ] || tail -n 12 "$scratch/$file" | sed "s/^/$file: /"
    done
}
