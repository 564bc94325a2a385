#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The program from end to end: exit codes, error lines, the files of a rehearsal and their shapes,
# the same bytes on every run, and what happens on a full disk. Prints TAP. OW_BUILD names the
# folder of built things.
set -u

root=$(cd "$(dirname "$0")/../.." && pwd)
program=${OW_BUILD:-$root/build}/overwinter
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1

cat >garden.json <<'END'
{
  "garden": "yard",
  "site": { "latitude_deg": 50, "longitude_deg": 10, "elevation_m": 300, "time_zone": "CET-1CEST,M3.5.0,M10.5.0/3" },
  "places": [ { "id": "open", "kind": "open sky" } ],
  "plants": [
    { "id": "lemon", "place": "open",
      "pot": { "diameter_mm": 300, "depth_mm": 280, "wall": "terracotta", "medium": "loam mix", "moisture": "moist", "stands_on": "paving" },
      "limits": { "foliage": { "damaged_c": -3, "killed_c": -6, "of": "air" }, "roots": { "damaged_c": -4, "killed_c": -7 } } },
    { "id": "dahlia", "place": "open", "bed": { "medium": "loam", "moisture": "moist" },
      "limits": { "roots": { "damaged_c": -2, "killed_c": -4 } } }
  ]
}
END
# The same without the bed, and with two mistakes.
grep -v -e dahlia -e '"damaged_c": -2' garden.json | sed 's/-7 } } },$/-7 } } }/' >potted.json
sed -e 's/280/3200/' -e 's/"loam mix"/"loan mix"/' garden.json >wrong.json

# Five days, hour by hour, with a frost in the middle; the sky is not measured in the last one.
awk 'BEGIN {
    print "time,air_c,wind_ms,cloud_pct"
    for (h = 0; h <= 120; h++) {
        air = 2 - 11 * exp(-((h - 60) / 30) ^ 2) + 3 * sin((h - 9) / 24 * 6.2831853)
        printf "2024-01-%02dT%02d:00:00Z,%.1f,%d,%s\n", 10 + int(h / 24), h % 24, air, 1 + h % 3,
            h < 96 ? h % 5 * 20 : ""
    }
}' >weather.csv
sed -e '3s/,[^,]*,/,-99,/' -e '5s/^2024/24/' weather.csv >odd.csv

. "$root/tests/tap.sh"
evidence() { head -n 40 check.txt err.txt out.txt; }
run() { # run ARGUMENTS...: leaves out.txt, err.txt and the exit code
    "$program" "$@" >out.txt 2>err.txt
    code=$?
}
ended() { # ended CODE [PART]: exit code, and a line of stderr that has the part in it
    [ "$code" -eq "$1" ] || { echo "exit code $code, not $1"; return 1; }
    [ $# -lt 2 ] || grep -qF -e "$2" err.txt || { echo "no line says: $2"; return 1; }
}
rehearse() { # rehearse DIR OPTIONS...
    dir=$1
    shift
    run rehearse garden.json weather.csv --out "$dir" "$@"
}
has_lines() { # has_lines FILE COUNT
    [ "$(wc -l <"$1")" -eq "$2" ] || { echo "$1 has $(wc -l <"$1") lines, not $2"; return 1; }
}
begins() { # begins FILE FIRST-LINE
    [ "$(head -n 1 "$1")" = "$2" ] || { head -n 1 "$1"; return 1; }
}
holds() { # holds FILE PATTERN
    grep -q -e "$2" "$1" || { echo "$1 has nothing like $2"; return 1; }
}
lacks() { # lacks PATTERN FILE...
    pattern=$1
    shift
    ! grep -n -i -e "$pattern" "$@"
}
narrow() { # narrow FILE: 80 columns at most, and nothing but text
    lacks "$(printf '\033')" "$1" && awk 'length($0) > 80 { print; wide = 1 } END { exit wide }' "$1"
}
one_line_each() { # one_line_each FILE: every line of a wrong garden says where
    [ "$(grep -c '^wrong.json:[0-9]*:[0-9]*: ' "$1")" -ge 2 ] && ! grep -v '^wrong.json:' "$1"
}

echo 1..44

run help
ok "help is printed" ended 0
ok "help names what there is" holds out.txt 'overwinter rehearse GARDEN WEATHER.csv'
ok "help keeps to 80 columns" narrow out.txt
run --version
ok "the version is printed" holds out.txt '^overwinter [0-9]'
run
ok "no command is a usage error" ended 2 'say what to do'
run rehearze
ok "an unknown command names the nearest" ended 2 'the nearest is rehearse'
run rehearse garden.json weather.csv
ok "a missing option is named" ended 2 '--out DIR'
run check
ok "a missing file is named" ended 2 'GARDEN'
run check garden.json --hands obey
ok "an option in the wrong place is refused" ended 2 'check takes no --hands'

run check garden.json
ok "a good garden passes" ended 0
ok "check says what it found" holds out.txt lemon
ok "check keeps to 80 columns" narrow out.txt
run check wrong.json
ok "a wrong garden is refused" ended 1 'wrong.json:7:'
ok "each error is a line that says where" one_line_each err.txt
run check nowhere.json
ok "a missing garden is refused" ended 1 'nowhere.json: cannot be read'
{ cat garden.json; head -c 1100000 /dev/zero | tr '\0' ' '; } >large.json
run check large.json
ok "a far too large garden is refused" ended 1 'large.json: is larger than 1024 KiB'
sed 's/CET-1CEST,M3.5.0,M10.5.0.3/Nowhere\/Atall/' garden.json >zone.json
mkdir zones
TZDIR=$work/zones run check zone.json
ok "an unknown time zone is refused" ended 1 'Nowhere/Atall'

run rehearse wrong.json odd.csv --out none
ok "faults of the weather are told" ended 1 'odd.csv:3:22: air_c is -99; it is -60 to 60'
ok "all of them" ended 1 'odd.csv:5:1: time is'
ok "and those of the garden in the same go" ended 1 'wrong.json:7:'
ok "nothing is written then" test ! -e none
rehearse none --from 2025-01-01
ok "an empty span is refused" ended 1 'weather.csv: no row with an air_c lies between'

rehearse first
ok "a rehearsal runs" ended 0
ok "it prints 80 columns of text" narrow out.txt
ok "with every plant" holds out.txt '^dahlia  *[a-z-]'
ok "the timeline has a line for each plant and hour" has_lines first/timeline.csv 243
ok "and its columns" begins first/timeline.csv "time,plant,state,act_by,root_mean_c,\
root_coldest_c,root_warmest_c,root_centre_c,ice_share,least_ice_share,frozen_days,foliage_c,\
buds_c,growing_point_c,storage_c,risk"
ok "the ground has a line for each bed and hour" has_lines first/ground.csv 122
ok "the events have their columns" begins first/events.csv "time,subject,event,detail"
ok "no number is odd" lacks '\(^\|[,: ]\)\(-\?nan\|-\?inf\|-0\.00*\)\([,} ]\|$\)' \
    first/timeline.csv first/ground.csv first/summary.json

rehearse second --json
ok "the same inputs give the same bytes" diff -r first second
ok "--json prints the summary" cmp out.txt first/summary.json

rehearse third --every 30 --from 2024-01-11 --until 2024-01-12T12:00:00Z --foresight none \
    --hands obey
ok "the span and the interval can be chosen" has_lines third/timeline.csv 147
run rehearse potted.json weather.csv --out first
ok "a ground.csv without a bed goes" test "$code" -eq 0 -a ! -e first/ground.csv

# A probe in a lemon whose side holds 1.4 times as well, fitted by a garden that does not know it.
sed 's/"pot": {/"pot": { "side_factor": 1.4,/' potted.json >better.json
run rehearse better.json weather.csv --out better --foresight none
awk -F, 'NR == 1 { for (i = 1; i <= NF; i++) at[$i] = i; print "time,lemon_c"; next }
    { print $1 "," $at["root_centre_c"] }' better/timeline.csv >probe.csv
run fit potted.json probe.csv weather.csv
ok "a fit runs" test "$code" -eq 0
ok "it prints 80 columns of text" narrow out.txt
sed -n 's/^  side .*times (\(.*\) to \(.*\)) as.*/\1 \2/p' out.txt >bounds.txt
ok "and its bounds hold the side" awk '{ exit !($1 < 1.4 && 1.4 < $2 && $1 > 0.8) }' bounds.txt
ok "and there are lines for the garden file" holds out.txt '"side_factor": 1\.'
awk -F, 'NR == 1 { print "time,probe_c"; next } { print $1 "," $2 }' weather.csv >air.csv
run fit potted.json air.csv weather.csv
ok "a record without a plant is refused" ended 1 'give --plant ID'
run fit potted.json air.csv weather.csv --plant lemon
ok "a probe in the air is refused" ended 1 'air.csv: the probe does what the air does'
run fit potted.json weather.csv probe.csv
ok "swapped files are refused" ended 1 'is this the weather'

# Files may grow to a few KiB only, which stands for a full disk.
(
    trap '' XFSZ
    ulimit -f 4
    "$program" rehearse garden.json weather.csv --out full 2>&1 | cat >err.txt
    "$program" rehearse garden.json weather.csv --out full >/dev/null 2>&1
    exit $?
)
code=$?
ok "a full disk is told" ended 3 'timeline.csv: cannot be written'
ok "and leaves no half files" test -z "$(ls full)"
"$program" help >/dev/full 2>err.txt
code=$?
ok "an output that cannot be written is told" ended 3 'could not be written'
