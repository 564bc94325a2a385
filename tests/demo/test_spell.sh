#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The cold spell in config-examples is what make-spell writes, and it has the weather that its
# story tells. Prints TAP.
set -u

root=$(cd "$(dirname "$0")/../.." && pwd)
spell=$root/config-examples/rooftop-cold-spell.csv
scratch=$(mktemp -d) || exit 1
trap 'rm -rf "$scratch"' EXIT

. "$root/tests/tap.sh"

# Prints where the spell differs from what make-spell writes with the awk $1.
differs() {
    AWK=$1 "$root/tests/demo/make-spell" >"$scratch/spell.csv" || echo "make-spell failed"
    cmp "$scratch/spell.csv" "$spell" 2>&1
}

# Prints what is wrong with the rows: hourly, nine days, as many fields as the header.
badly_made() {
    awk -F, '
        NR == 1 { fields = NF; next }
        NF != fields { print FILENAME ":" FNR ": " NF " fields" }
        {
            hour = substr($1, 9, 2) * 24 + substr($1, 12, 2)
            if (NR > 2 && hour != before + 1) print FILENAME ":" FNR ": not an hour on"
            before = hour
        }
        END { if (NR != 9 * 24 + 2) print NR - 1 " rows" }' "$1"
}

# Prints which part of the story the weather does not tell.
badly_told() {
    awk -F, '
        NR == 1 { for (i = 1; i <= NF; i++) column[$i] = i; next }
        {
            day = int((NR - 2) / 24) + 1
            air = $column["air_c"] + 0
            if (NR == 2 || air < coldest) coldest = air
            if (!(day in warmest) || air > warmest[day]) warmest[day] = air
            if ($column["wind_ms"] + 0 > windiest[day]) windiest[day] = $column["wind_ms"] + 0
            if ($column["snow_cm"] + 0 > deepest) deepest = $column["snow_cm"] + 0
            if (day == 9) rain += $column["rain_mm"]
            if (air < -5 && $column["cloud_pct"] + 0 <= 10) clear_frost++
            if (air < 0 && $column["solar_wm2"] + 0 > 300) frost_in_sun++
        }
        END {
            if (coldest > -8 || coldest < -9) print "coldest " coldest
            if (warmest[1] < 5) print "no mild start"
            if (warmest[5] >= 0 || warmest[6] >= 0) print "days 5 and 6 are no ice days"
            if (windiest[5] < 5 || windiest[6] < 5) print "no wind on the ice days"
            if (clear_frost < 24) print "too few hours of clear frost"
            if (frost_in_sun < 6) print "too little sun on frost"
            if (deepest < 5 || deepest > 15) print "no moderate snow"
            if (rain < 5 || warmest[9] < 5) print "no thaw with rain"
        }' "$1"
}

echo 1..5
ok "make-spell writes the spell" none "$(differs "${AWK:-awk}")"
ok "nine days, an hour a row" none "$(badly_made "$spell")"
ok "the weather of the story" none "$(badly_told "$spell")"

sed 100d "$spell" >"$scratch/gap.csv"
missed=
[ -n "$(badly_made "$scratch/gap.csv")" ] || missed="a missing hour was not seen"
ok "a missing hour is seen" none "$missed"

awk -F, -v OFS=, 'NR > 1 { $2 += 4 } { print }' "$spell" >"$scratch/mild.csv"
missed=
[ -n "$(badly_told "$scratch/mild.csv")" ] || missed="milder weather was not seen"
ok "milder weather is seen" none "$missed"
