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

work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
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
    "$program" rehearse "$1" "$work/weather.csv" --out "$2" --foresight none >/dev/null 2>&1
}

n=0
check() { # whether, what
    n=$((n + 1))
    if [ "$1" = yes ]; then echo "ok $n - $2"; else echo "not ok $n - $2"; fi
}
less() { awk -v a="$1" -v b="$2" 'BEGIN { print a < b ? "yes" : "no" }'; }

echo '1..3'

# A forest floor that was taken for a bare bed: 20 days tell that something lies on it.
file=$(echo "$folder"/bohemian_*.csv)
awk -f "$root/tests/truth/weather.awk" "$file" >"$work/weather.csv"
probe "$file" soil8_c >"$work/probe.csv"
garden 50.92 14.2 265 'under eaves' '"medium": "loam"' >"$work/tables.json"
"$program" fit "$work/tables.json" "$work/probe.csv" "$work/weather.csv" --depth 80 \
    --from 2017-11-06 --until 2017-11-26 >"$work/told" 2>&1
factor=$(sed -n 's/.*"top_factor": \(.*\),/\1/p' "$work/told")
garden 50.92 14.2 265 'under eaves' "\"top_factor\": ${factor:-1}, \"medium\": \"loam\"" \
    >"$work/fitted.json"
rehearse "$work/tables.json" "$work/a" && rehearse "$work/fitted.json" "$work/b"
tables=$(miss "$work/a/ground.csv" "$file" soil8_c 8 2017-11-26)
fitted=$(miss "$work/b/ground.csv" "$file" soil8_c 8 2017-11-26)
echo "# Bohemian forest, 8 cm, 20 days fitted: $tables K by the tables, $fitted K by the fit"
check "$(less "$fitted" "$(awk -v t="$tables" 'BEGIN { print 0.6 * t }')")" \
    "a wrong description costs 40 % less after a fit: $tables K before, $fitted K after"
grep -q 'That is as far as a fit goes' "$work/told" && told=yes || told=no
check "$told" 'it says that the garden file does not know what lies there'

# Bare ground as described: the fit has little to add and must not take away.
file=$(echo "$folder"/hamburg_*.csv)
awk -f "$root/tests/truth/weather.awk" "$file" | awk -F, 'NR == 1 || $1 >= "2018-10"' \
    >"$work/weather.csv"
probe "$file" soil10_c >"$work/probe.csv"
garden 53.6332 9.9881 14 'open sky' '"medium": "loam"' >"$work/tables.json"
"$program" fit "$work/tables.json" "$work/probe.csv" "$work/weather.csv" --depth 100 \
    --from 2018-11-15 --until 2018-11-30 >"$work/told" 2>&1
factor=$(sed -n 's/.*"top_factor": \(.*\),/\1/p' "$work/told")
garden 53.6332 9.9881 14 'open sky' "\"top_factor\": ${factor:-9}, \"medium\": \"loam\"" \
    >"$work/fitted.json"
rehearse "$work/tables.json" "$work/c" && rehearse "$work/fitted.json" "$work/d"
tables=$(miss "$work/c/ground.csv" "$file" soil10_c 10 2018-11-30)
fitted=$(miss "$work/d/ground.csv" "$file" soil10_c 10 2018-11-30)
echo "# Hamburg, 10 cm, 15 days fitted (top $factor): $tables K by the tables, $fitted K by the fit"
check "$(less "$fitted" "$(awk -v t="$tables" 'BEGIN { print t + 0.1 }')")" \
    "a right description loses nothing: $tables K before, $fitted K after"
