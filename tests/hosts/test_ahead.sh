#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The evening sheet from end to end, on the roof garden of the examples. Prints TAP. OW_BUILD names
# the folder of built things.
set -u

root=$(cd "$(dirname "$0")/../.." && pwd)
program=${OW_BUILD:-$root/build}/overwinter
garden=$root/config-examples/rooftop.json weather=$root/config-examples/rooftop-cold-spell.csv
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1

. "$root/tests/tap.sh"
evidence() { head -n 40 check.txt err.txt cold.txt; }
sheet() { # sheet OUT ARGUMENTS...
    out=$1
    shift
    "$program" ahead "$garden" "$weather" "$@" >"$out" 2>err.txt
}
narrow() { ! awk 'length($0) > 80' "$1" | grep .; }
has() { grep -q -e "$2" "$1"; }

echo 1..12
ok "a sheet is printed" sheet cold.txt --from 2026-01-26T16:00:00Z
ok "it keeps to 80 columns" narrow cold.txt
ok "it says the lowest expected and when" has cold.txt '^Lowest expected out of doors: -'
ok "and the first job" has cold.txt '^First: .*, by '
ok "jobs come with what happens otherwise" has cold.txt '^    Otherwise: '
ok "and plants with their risk" has cold.txt 'risk [0-9]* %'
"$program" ahead "$garden" "$weather" --from 2026-01-26T16:00:00Z >again.txt 2>err.txt
ok "the same question has the same bytes" cmp cold.txt again.txt
ok "a page for the printer" sheet page.html --from 2026-01-26T16:00:00Z --html
ok "fetches nothing and runs nothing" \
    sh -c '! grep -i -e "src=" -e "http" -e "url(" -e "<script" page.html && grep -q A4 page.html'
ok "a mild evening has nothing to do" \
    sh -c "'$program' ahead '$garden' '$weather' --from 2026-01-21T06:00:00Z --foresight 12 \
        --spread none 2>err.txt | grep -x 'Nothing to do.'"
sheet late.txt --from 2027-01-01
ok "a now outside the file is told" \
    grep -q 'from is not within the file' err.txt
"$program" ahead "$garden" 2>err.txt
ok "the weather must be given" grep -q 'ahead needs WEATHER.csv' err.txt
