#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The fit on measured ground:  tests/fit/test_stations.sh
#
# A station's soil probe is taken as one borrowed for a bed: some weeks of it are fitted, and the
# lines that come out are put into the garden file and rehearsed over the months that follow, which
# the fit never saw. Prints TAP. The folder of measured winters is $OW_DATASETS, else
# ../shared/datasets beside the project; without it this says so and succeeds. OW_BUILD is where the
# program is.
set -u

here=$(cd "$(dirname "$0")" && pwd)
root=$(cd "$here/../.." && pwd)
folder=${OW_DATASETS:-$root/../shared/datasets}
program=${OW_BUILD:-$root/build}/overwinter

if [ ! -d "$folder" ]; then
    echo "# measured winters: $folder is not there, comparison left out"
    echo '1..1'
    echo 'ok 1 - nothing to compare'
    exit 0
fi

scratch=$(mktemp -d) || exit 1
trap 'rm -rf "$scratch"' EXIT
trap 'exit 1' INT TERM

# garden LATITUDE LONGITUDE ELEVATION KIND, then the keys of the bed
garden() {
    cat <<END
{
  "garden": "station",
  "site": { "latitude_deg": $1, "longitude_deg": $2, "elevation_m": $3 },
  "places": [{ "id": "plot", "kind": "$4" }],
  "plants": [
    { "id": "bed", "place": "plot", "bed": { $5 },
      "limits": { "foliage": { "damaged_c": -20, "killed_c": -30 } } }
  ]
}
END
}

# probe FILE COLUMN: its record as one of a borrowed probe
probe() {
    awk -F, -v column="$2" '
        { sub(/\r$/, "") }
        NR == 1 { for (i = 1; i <= NF; i++) at[$i] = i; print "time,bed_c"; next }
        { print $1 "," $at[column] }' "$1"
}

# miss GROUND FILE COLUMN DEPTH_CM FROM: root mean square, K, from a day on
miss() {
    awk -F, -v column="$3" -v cm="$4" -v from="$5" '
        { sub(/\r$/, "") }
        FNR == 1 { part++; split("", at); for (i = 1; i <= NF; i++) at[$i] = i; next }
        part == 1 {
            t[$1] = cm == 8 ? 0.4 * $at["t_5cm"] + 0.6 * $at["t_10cm"] : $at["t_" cm "cm"]
            next
        }
        $1 >= from && $at[column] != "" && $1 in t {
            off = t[$1] - $at[column]; sum += off * off; n++
        }
        END { printf "%.2f\n", sqrt(sum / n) }' "$1" "$2"
}

rehearse() { # garden, folder
    "$program" rehearse "$1" "$scratch/weather.csv" --out "$2" --foresight none >/dev/null 2>&1
}

. "$root/tests/tap.sh"
under() { awk -v a="$1" -v b="$2" 'BEGIN { exit !(a + 0 > 0 && a + 0 < b) }'; }

# fit_and_rehearse LATITUDE LONGITUDE ELEVATION KIND COLUMN DEPTH_CM FROM UNTIL, of $file and the
# weather: leaves what the fit said in told, its factor, and the misses after it: tables and fitted.
fit_and_rehearse() {
    probe "$file" "$5" >"$scratch/probe.csv"
    garden "$1" "$2" "$3" "$4" '"medium": "loam"' >"$scratch/tables.json"
    "$program" fit "$scratch/tables.json" "$scratch/probe.csv" "$scratch/weather.csv" --depth "${6}0" \
        --from "$7" --until "$8" >"$scratch/told" 2>&1
    factor=$(sed -n 's/.*"top_factor": \(.*\),/\1/p' "$scratch/told")
    garden "$1" "$2" "$3" "$4" "\"top_factor\": ${factor:-1}, \"medium\": \"loam\"" \
        >"$scratch/fitted.json"
    rehearse "$scratch/tables.json" "$scratch/$5-a" && rehearse "$scratch/fitted.json" "$scratch/$5-b"
    tables=$(miss "$scratch/$5-a/ground.csv" "$file" "$5" "$6" "$8")
    fitted=$(miss "$scratch/$5-b/ground.csv" "$file" "$5" "$6" "$8")
    [ -n "$factor" ] || fitted=no # factor came out
}

echo '1..3'

# A forest floor that was taken for a bare bed: 20 days tell that something lies on it.
file=$(echo "$folder"/bohemian_*.csv)
awk -f "$root/tests/truth/weather.awk" "$file" >"$scratch/weather.csv"
fit_and_rehearse 50.92 14.2 265 'under eaves' soil8_c 8 2017-11-06 2017-11-26
echo "# Bohemian forest, 8 cm, 20 days fitted: $tables K by the tables, $fitted K by the fit"
ok "a wrong description costs 40 % less after a fit: $tables K before, $fitted K after" \
    under "$fitted" "$(awk -v t="$tables" 'BEGIN { print 0.6 * t }')"
ok 'it says that the garden file does not know what lies there' \
    grep -q 'That is as far as a fit goes' "$scratch/told"

# Bare ground as described: the fit has little to add and must not take away.
file=$(echo "$folder"/hamburg_*.csv)
awk -f "$root/tests/truth/weather.awk" "$file" | awk -F, 'NR == 1 || $1 >= "2018-10"' \
    >"$scratch/weather.csv"
fit_and_rehearse 53.6332 9.9881 14 'open sky' soil10_c 10 2018-11-15 2018-11-30
echo "# Hamburg, 10 cm, 15 days fitted (top $factor): $tables K by the tables, $fitted K by the fit"
ok "a right description loses nothing: $tables K before, $fitted K after" \
    under "$fitted" "$(awk -v t="$tables" 'BEGIN { print t + 0.1 }')"
