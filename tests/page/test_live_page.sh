#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The page in a real browser: a broker that serves it, the program minding a garden in frost, headless
# Chromium that reads and touches it (drive.cjs prints the TAP). OW_SHOTS: a folder for pictures.
# rig.sh sets what is used here.
# shellcheck disable=SC1091,SC2154
set -u
. "$(dirname "$0")/../live/rig.sh"
. "$(dirname "$0")/page.sh"

page_garden() {
    cat >"$scratch/garden.json" <<END
{
  "garden": "school",
  "site": { "latitude_deg": 47.5, "longitude_deg": 7.6, "time_zone": "CET-1CEST,M3.5.0,M10.5.0/3" },
  "broker": { "host": "127.0.0.1", "port": $port },
  "readings": [
    { "id": "air", "measures": "air", "topic": "school/air", "pointer": "/c" },
    { "id": "porch-air", "measures": "air", "place": "porch", "topic": "school/porch" }
  ],
  "forecast": { "topic": "school/ahead", "time": "/at", "air": "/c" },
  "places": [
    { "id": "terrace", "kind": "open sky" },
    { "id": "porch", "kind": "glasshouse", "floor_m2": 8, "glazing_m2": 26, "room_for": 1 },
    { "id": "cellar", "kind": "indoors", "air_c": 7 }
  ],
  "covers": [ { "id": "fleece", "kind": "fleece", "count": 1 } ],
  "plants": [
    { "id": "mandarin", "taxon": "Citrus reticulata", "place": "terrace", "covers": ["fleece"],
      "pot": { "diameter_mm": 420, "depth_mm": 380, "wall": "terracotta" } },
    { "id": "olive-tree", "name": "olive", "taxon": "Olea europaea", "place": "terrace",
      "pot": { "diameter_mm": 450, "depth_mm": 400, "wall": "terracotta" } },
    { "id": "fuchsia", "taxon": "Fuchsia magellanica", "place": "terrace",
      "pot": { "diameter_mm": 300, "depth_mm": 280 } },
    { "id": "tree-fern", "taxon": "Dicksonia fibrosa", "place": "terrace", "bed": { "medium": "loam" },
      "trunk": { "diameter_mm": 240, "height_mm": 1000, "growing_point_mm": 60 } }
  ],
  "outputs": [
    { "id": "porch-heater", "name": "lean-to heater", "kind": "heater", "place": "porch",
      "watts": 1500, "keep_air_above_c": 4,
      "topic": "school/heater/set", "on": "on {seconds}", "off": "off",
      "lease_s": 900, "off_by_itself_s": 900,
      "reported": { "topic": "school/heater/state", "on": "on", "off": "off" },
      "shortest_on_min": 0, "shortest_off_min": 0, "least_rest_min": 0, "cautions_read": true }
  ],
  "household": [ { "id": "caretaker", "lifts_kg": 40, "trolley": true },
    { "id": "teacher", "hears": ["urgent"], "lifts_kg": 10 } ]
}
END
}

page_weather() {
    awk 'BEGIN {
        print "time,air_c"
        for (h = 0; h <= 120; h++) printf "2026-01-%02dT%02d:00:00Z,-9\n", 5 + int(h / 24), h % 24
    }' >"$scratch/weather.csv"
}

pace=300
from=2026-01-05T12:00:00Z
start_page_broker || exit 1
start_locked_broker || exit 1
page_garden
page_weather
start run "$build/overwinter" run "$scratch/garden.json" --pace "$pace" --from "$from"
start sim "$build/sim" "$scratch/garden.json" "$scratch/weather.csv" --pace "$pace" --from "$from" \
    --until 2026-01-09T00:00:00Z --every 10
export OW_PORT="$port" OW_PAGE="http://127.0.0.1:$page_port/" OW_BROKER_CONF="$scratch/broker.conf" \
    OW_LOCKED="http://127.0.0.1:$locked_port/" OW_BROKER_PID="$broker_pid" OW_RUN_PID="$run_pid" \
    OW_SOURCES="$root/module/tile/src" OW_ENGLISH="$build/gen/sayings.js"
drive "$(dirname "$0")/drive.cjs"
