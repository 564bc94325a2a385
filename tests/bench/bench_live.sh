#!/bin/sh
# SPDX-License-Identifier: MIT
#
# From a reading to a command over a real broker on a free loopback port: overwinter run minds a
# garden whose doors open, with a clock 10 times as fast so that heaters are soon on again. A tick
# by the clock comes every 100 ms then; what is told is less, since a message is acted on at once.
# rig.sh sets what is used here.
# shellcheck disable=SC1091,SC2154
set -u
. "$(dirname "$0")/../live/rig.sh"

heaters=8 rounds=25 pace=10

each() { # each FORMAT: once a heater, joined by commas
    awk -v n="$heaters" -v format="$1" 'BEGIN {
        for (i = 0; i < n; i++) { line = format; gsub("@", i, line); printf "%s%s\n", i ? "," : "", line }
    }'
}
garden() {
    cat <<END
{
  "garden": "bench",
  "site": { "latitude_deg": 47, "longitude_deg": 8 },
  "broker": { "host": "127.0.0.1", "port": $port },
  "readings": [
    { "id": "air", "measures": "air", "topic": "bench/air" },
    { "id": "inside", "measures": "air", "place": "house", "topic": "bench/house" },
$(each '{ "id": "door-@", "measures": "contact", "topic": "bench/@/door", "open": "open", "shut": "shut" }')
  ],
  "places": [ { "id": "house", "kind": "glasshouse", "floor_m2": 6, "glazing_m2": 20 } ],
  "plants": [ { "id": "lemon", "taxon": "Citrus limon", "place": "house",
                "pot": { "diameter_mm": 300, "depth_mm": 280 } } ],
  "outputs": [
$(each '{ "id": "heater-@", "kind": "heater", "place": "house", "watts": 1000, "keep_air_above_c": 5,
      "topic": "bench/@/set", "on": "on {seconds}", "off": "off", "lease_s": 60, "off_by_itself_s": 120,
      "reported": { "topic": "bench/@/state", "on": "on", "off": "off" },
      "blocked_while_open": ["door-@"], "too_warm_c": 20, "longest_run_min": 1440,
      "least_rest_min": 0, "shortest_on_min": 0, "shortest_off_min": 0, "cautions_read": true }')
  ]
}
END
}

start_broker || exit 1
garden >"$scratch/garden.json"
start run "$build/overwinter" run "$scratch/garden.json" --pace "$pace"
echo "reading to command over a broker, door opened to \"off\", $((heaters * rounds)) rounds"
"$build/plain/tests/bench/live_round_trip" "$port" "$heaters" "$rounds" \
    2>"$scratch/client.err" || {
    cat "$scratch/run.err" "$scratch/client.err" >&2
    exit 1
}
