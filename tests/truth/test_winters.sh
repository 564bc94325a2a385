#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Measured winters against modelled ones:  tests/truth/test_winters.sh
#
# Runs the weather of every station in a folder of measured winters ($OW_DATASETS, else
# ../shared/datasets beside the project) through the rehearsal: one bed of the soil that the
# station's description states, begun once. Scores its temperatures, and rules a hub could follow,
# against the ground that was measured; then a bed chosen on the first half of each winter; then
# Hamburg's bed pulled by its own probe; then leaves on cold nights. Prints TAP; limits that are
# known to be missed are TODO lines with their reason. Without the folder it says so and succeeds.
#
# OW_BUILD is where the program is; OW_TRUTH_OUT a folder that gets scores.tsv, spells.tsv,
# nights.tsv, fitted.tsv, band.tsv and daily series for the page of truth.
set -u

here=$(cd "$(dirname "$0")" && pwd)
root=$(cd "$here/../.." && pwd)
folder=${OW_DATASETS:-$root/../shared/datasets}
build=${OW_BUILD:-$root/build}

if [ ! -d "$folder" ]; then
    echo "# measured winters: $folder is not there, comparison left out"
    echo '1..1'
    echo 'ok 1 - nothing to compare'
    exit 0
fi

work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
trap 'exit 1' INT TERM
out=${OW_TRUTH_OUT:-$work/out}
mkdir -p "$out" || exit 1
rm -f "$out"/*.tsv

# Winter, file, where, place, first and last day, depths (cm), what its probes claim (+-K), bed; then the
# beds among which the band shares its members. A bed is MEDIUM:MOISTURE:MULCH in mm, g after it for
# grass.
#
# The soil is that of the description. Nothing describes the litter of the forest floor or the
# thatch of the mountain meadow: 30 mm is our judgement for both, and without it both stations lie
# kelvins off. A closed forest's floor sees trunks and branches at the air's temperature, no sky:
# a fixed film of 10 W/m2K (our judgement).
#
# The band: where the description tells neither soil nor moisture nor what lies on it, what it may
# be. Hamburg's plot is "bare/short-cut". Probes: the dataset's own word for Col de Porte, the
# maker's for the forest's loggers, else 0.2 K, which WMO's guide to instruments (No. 8, annex 1.A)
# calls achievable; all from memory but the first.
winters() {
    hamburg='loam:moist:0 loam:moist:0g sand:moist:0 sand:moist:0g clay:moist:0 clay:moist:0g loam:dry:0 loam:dry:0g sand:dry:0 sand:dry:0g clay:dry:0 clay:dry:0g loam:wet:0 loam:wet:0g sand:wet:0 sand:wet:0g clay:wet:0 clay:wet:0g'
    cat <<END
hamburg-2018-19|hamburg_*|53.6332|9.9881|14|"kind":"open sky"|2018-10-01|2019-05-01|5 10 20 50|0.2|loam:moist:0|$hamburg
hamburg-spring-2018|hamburg_*|53.6332|9.9881|14|"kind":"open sky"|2018-03-05|2018-04-21|5 10 20|0.2|loam:moist:0|$hamburg
bohemian-2017-18|bohemian_*|50.92|14.2|265|"kind":"open sky","film_w_m2k":10|2017-01-01|2019-01-01|8|0.5|loam:moist:30|loam:moist:10 loam:moist:30 sand:moist:30 loam:wet:50 peat:moist:30
col-de-porte-2001-02|col_de_porte_*|45.30|5.77|1325|"kind":"open sky"|2001-01-01|2003-01-01|10 20 50|1.0|clay:moist:0g|clay:moist:0g clay:wet:0g loam:moist:0g loam:wet:0g
boulder-2024|uscrn_co_boulder14w_*|40.04|-105.54|2995|"kind":"open sky"|2024-01-01|2025-01-01|5 10|0.2|sand:dry:30|sand:dry:30 sand:dry:0 sand:moist:10 loam:dry:30 sand:moist:0
END
}

bed() { # ID MEDIUM:MOISTURE:MULCH[g]
    rest=${2#*:} mulch=${2##*:} grass=false
    [ "$mulch" = "${mulch%g}" ] || grass=true
    cat <<END
    { "id": "$1", "place": "plot", "limits": { "foliage": { "damaged_c": -20, "killed_c": -30 } },
      "bed": { "medium": "${2%%:*}", "moisture": "${rest%:*}", "mulch_mm": ${mulch%g}, "grass": $grass } }
END
}

garden() { # latitude longitude elevation place, then ID=BED each
    cat <<END
{
  "garden": "station",
  "site": { "latitude_deg": $1, "longitude_deg": $2, "elevation_m": $3 },
  "places": [{ "id": "plot", $4 }],
  "plants": [
END
    shift 4
    comma=
    for one in "$@"; do
        printf '%s' "$comma"
        bed "${one%%=*}" "${one#*=}"
        comma=,
    done
    echo ']}'
}
others=
for medium in loam sand clay peat; do
    for moist in dry moist wet; do
        others="$others $medium-$moist"
    done
done

# rehearse FOLDER WEATHER: its garden.json under the weather; each bed's ground-ID.csv, 8 cm added.
rehearse() {
    "$build/overwinter" rehearse "$1/garden.json" "$2" --out "$1/out" --foresight none \
        --hands none >"$1/told" 2>&1 || {
        sed 's/^/# /' "$1/told"
        return 1
    }
    awk -F, -v OFS=, -v into="$1/ground-" '
        NR == 1 { for (i = 1; i <= NF; i++) at[$i] = i; head = $0 OFS "t_8cm"; next }
        !($2 in file) { file[$2] = into $2 ".csv"; print head >file[$2] }
        { print $0, 0.4 * $at["t_5cm"] + 0.6 * $at["t_10cm"] >file[$2] }' "$1/out/ground.csv"
}

measured_file() {
    # $1 is a pattern.
    # shellcheck disable=SC2086
    set -- "$folder"/$1.csv
    [ -f "$1" ] && echo "$1"
}

# One winter from the tables: scores of all depths.
tables() {
    for depth in $depths; do
        "$build/truth/score" "$file" "soil${depth}_c" "$dir/ground-bed.csv" "t_${depth}cm" \
            "$from" "$until" "$out/series-$winter-$depth.tsv" >"$dir/score" || return 1
        awk -v w="$winter" -v d="$depth" -v OFS='\t' -v out="$out" '
            $1 == "spell" { print w, d, $2, $3, $4, $5 >>(out "/spells.tsv"); next }
            { print w, d, $0 >>(out "/scores.tsv") }' FS='\t' "$dir/score"
    done
}

# A bed's score on both halves: its name, RMSE of the first, bias, RMSE and cold RMSE of the second.
halves() { # name file
    "$build/truth/score" "$file" "soil${depth}_c" "$2" "t_${depth}cm" "$from" "$until" - |
        awk -F'\t' -v OFS='\t' -v what="$1" '
            $1 == "model" && $2 == "first" { first = $5 }
            $1 == "model" && $2 == "second" { print what, first, $4, $5, $7 }'
}

# The mean of the three soils that fit the first half best, at the depth nearest 10 cm: half a
# winter cannot tell such neighbours apart.
fitted() {
    depth=$(echo "$depths" | tr ' ' '\n' | grep -x -e 10 -e 8)
    for other in $others; do
        halves "$other" "$dir/ground-$other.csv"
    done | sort -t "$(printf '\t')" -g -k 2 | head -n 3 >"$dir/best"
    # Names hold no blanks.
    # shellcheck disable=SC2046
    set -- $(cut -f 1 "$dir/best")
    awk -F, -v OFS=, -v depth="t_${depth}cm" '
        FNR == 1 { for (i = 1; i <= NF; i++) if ($i == depth) at = i; next }
        { sum[$1] += $at / 3; order[FNR] = $1; n = FNR }
        END { print "time", depth; for (i = 2; i <= n; i++) print order[i], sum[order[i]] }' \
        "$dir/ground-$1.csv" "$dir/ground-$2.csv" "$dir/ground-$3.csv" >"$dir/mean.csv"
    {
        head -n 1 "$dir/best"
        halves "$1, $2, $3" "$dir/mean.csv"
    } | sed "s/^/$winter	$depth	/" >>"$out/fitted.tsv"
}

nights() { # kind column daily
    awk -F, -v surface="$2" -v daily="$3" -f "$here/nights.awk" "$dir/out/timeline.csv" "$file" |
        sed "s/^/$1	/" >>"$out/nights.tsv"
}

# How often each depth lies within the band that the model claims.
band() {
    at=0
    set -- "$latitude" "$longitude" "$elevation" "$place"
    for one in $beds; do
        at=$((at + 1))
        set -- "$@" "bed-$at=$one"
    done
    garden "$@" >"$dir/band.json"
    set --
    for depth in $depths; do
        set -- "$@" "soil${depth}_c" "$(awk -v cm="$depth" 'BEGIN { print cm / 100 }')"
    done
    "$build/truth/score_band" "$dir/band.json" "$weather" "$file" "$from" "$until" "$probe" "$@" \
        >"$dir/band" || return 1
    sed "s/^band/$winter/" "$dir/band" >>"$out/band.tsv"
}

run_winters() {
    winters >"$work/winters"
    while IFS='|' read -r winter pattern latitude longitude elevation place from until depths \
        probe described beds; do
        file=$(measured_file "$pattern") || continue
        dir=$work/$winter weather=$work/$winter.csv
        mkdir -p "$dir"
        awk -f "$here/weather.awk" "$file" >"$weather"
        set -- "$latitude" "$longitude" "$elevation" "$place" "bed=$described"
        garden "$@" >"$dir/alone.json"
        for other in $others; do
            set -- "$@" "$other=${other%-*}:${other#*-}:${described##*:}"
        done
        garden "$@" >"$dir/garden.json"
        rehearse "$dir" "$weather" && tables && band || return 1
        if [ "$winter" = hamburg-2018-19 ]; then
            nights 'Hamburg, grass minimum' grass_min_day_c 1
            "$build/truth/assimilate" "$dir/alone.json" "$weather" "$file" soil10_c 0.10 \
                "${from}T00:00:00Z" >"$dir/ahead.csv" || return 1
            "$build/truth/score" "$file" soil10_c "$dir/ahead.csv" t "$from" "$until" |
                grep -e '^model.all' -e '^the probe' >"$out/assimilated.tsv"
        fi
        fitted || return 1
    done <"$work/winters"
    file=$(measured_file 'uscrn_ga_newton8w_*') || return 0
    dir=$work/newton weather=$work/newton.csv
    mkdir -p "$dir"
    awk -f "$here/weather.awk" "$file" >"$weather"
    garden 31.31 -84.47 50 '"kind":"open sky"' bed=loam:moist:0 >"$dir/garden.json"
    rehearse "$dir" "$weather" && nights 'Newton, infrared surface' surface_ir_c 0
}

n=0
# limit WHAT ACHIEVED LIMIT [REASON]: at most. With a reason a miss is a known one.
limit() {
    n=$((n + 1))
    [ -z "${OW_TRUTH:-}" ] || printf '%s\t%s\t%s\n' "$1" "$2" "$3" >>"$OW_TRUTH"
    if awk -v got="$2" -v most="$3" 'BEGIN { exit !(got != "" && got + 0 <= most + 0) }'; then
        echo "ok $n - $1: $2 (at most $3)"
    else
        echo "not ok $n - $1: $2 (at most $3)${4:+ # TODO $4}"
    fi
}

# Root mean square error in scores.tsv of winter, depth, method, part.
rmse() {
    awk -F'\t' -v w="$1" -v d="$2" -v m="$3" -v p="$4" \
        '$1 == w && $2 == d && $3 == m && $4 == p { print $7 }' "$out/scores.tsv"
}

# Over all winters and depths: the model less each rule of a kind, worst and median.
against() { # part rule...
    part=$1
    shift
    for rule in "$@"; do
        awk -F'\t' -v p="$part" -v r="$rule" '
            $4 == p && $3 == "model" { model[$1, $2] = $7 }
            $4 == p && $3 == r { rule[$1, $2] = $7 }
            END { for (k in rule) print model[k] - rule[k] }' "$out/scores.tsv"
    done | sort -g >"$work/against"
}
worst() { tail -n 1 "$work/against"; }
median() { awk '{ x[NR] = $1 } END { print x[int((NR + 1) / 2)] }' "$work/against"; }

if ! run_winters; then
    echo '1..1'
    echo 'not ok 1 - the winters ran'
    exit 1
fi
echo '1..16'
limit 'Hamburg 2018-19, 10 cm, from the tables (K)' "$(rmse hamburg-2018-19 10 model all)" 1.2
limit 'Hamburg 2018-19, 10 cm, fitted on the first half (K)' \
    "$(awk -F'\t' '$1 == "hamburg-2018-19" && $3 ~ /, / { print $6 }' "$out/fitted.tsv")" 0.8
limit 'Hamburg 2018-19, 10 cm, a day ahead with its probe (K)' \
    "$(awk -F'\t' '$1 == "model" { print $5 }' "$out/assimilated.tsv")" 0.6
limit 'the same less persistence (K)' \
    "$(awk -F'\t' '{ x[NR] = $5 } END { print x[1] - x[2] }' "$out/assimilated.tsv")" 0
against all "yesterday's mean air" 'mean air of two days'
limit 'model less rules that need no tuning, worst winter and depth (K)' "$(worst)" 0
against second 'smoothed air, offset' 'smoothed air, gain' 'ridge regression'
limit 'model less fitted rules, median (K)' "$(median)" 0
limit 'model less fitted rules, worst (K)' "$(worst)" 0.2

limit 'hours outside the band of 90 %, worst winter and depth (share)' \
    "$(awk -F'\t' '{ print 1 - $4 }' "$out/band.tsv" | sort -g | tail -n 1)" 0.15

night() { # kind which column
    awk -F'\t' -v k="$1" -v w="$2" -v c="$3" '
        $1 == k && $2 == w { print $c < 0 ? -$c : $c }' "$out/nights.tsv"
}
hamburg='Hamburg, grass minimum' newton='Newton, infrared surface'
unseen='its surface was another in autumn than in spring, and no wind is measured'
limit "$hamburg, cold nights: bias (K)" "$(night "$hamburg" 'all nights' 4)" 0.5
limit "$hamburg, cold nights: RMSE (K)" "$(night "$hamburg" 'all nights' 5)" 1.0
limit "$hamburg, clear nights: bias (K)" "$(night "$hamburg" 'clear nights' 4)" 0.5
limit "$hamburg, clear nights: RMSE (K)" "$(night "$hamburg" 'clear nights' 5)" 1.0
limit "$newton, cold nights: bias (K)" "$(night "$newton" 'all nights' 4)" 0.5
limit "$newton, cold nights: RMSE (K)" "$(night "$newton" 'all nights' 5)" 1.0 "$unseen"
limit "$newton, clear nights: bias (K)" "$(night "$newton" 'clear nights' 4)" 0.5 "$unseen"
limit "$newton, clear nights: RMSE (K)" "$(night "$newton" 'clear nights' 5)" 1.0 "$unseen"
