#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The demonstration as `make demo` runs it: it ends well, fits 80 columns, brings up every state it
# is meant to show, and gives the same bytes again. Prints TAP. OW_BUILD names the folder of built
# things.
set -u

root=$(cd "$(dirname "$0")/../.." && pwd)
build=${OW_BUILD:-$root/build}
scratch=$(mktemp -d) || exit 1
trap 'rm -rf "$scratch"' EXIT

. "$root/tests/tap.sh"

# Plays the demonstration in the folder $1, options behind it, and prints what went wrong.
play() {
    folder=$1
    shift
    mkdir -p "$folder"
    (cd "$folder" && "$build/overwinter" rehearse "$root/config-examples/rooftop.json" \
        "$root/config-examples/rooftop-cold-spell.csv" --out demo "$@" >printed 2>told)
    status=$?
    [ "$status" -eq 0 ] || { echo "exit $status"; cat "$folder/told"; }
}

# Prints lines of more than 80 characters; bytes within a UTF-8 character do not count.
too_wide() {
    LC_ALL=C tr -d '\200-\277' <"$1" | LC_ALL=C awk 'length($0) > 80'
}

# Prints the states of a plant in the order they came, one a line.
states_of() { # states_of DIR PLANT
    awk -F, -v plant="$2" '$2 == plant && $3 != last { print last = $3 }' "$1/timeline.csv"
}

# Prints each state that is meant to come up and does not.
missing_states() {
    for state in 'hold' 'cover soon' 'carry in' 'thaw needed' 'thawing' 'wait and see'; do
        grep -q ",state,\"*$state: " "$1/events.csv" || echo "$state is not in events.csv"
        awk -F, -v state="$state" '$3 == state { seen = 1 } END { exit !seen }' \
            "$1/timeline.csv" || echo "$state is not in timeline.csv"
    done
}

# Prints the files of one folder that are missing or other in the second.
differing() {
    for file in printed demo/timeline.csv demo/events.csv demo/ground.csv demo/summary.json \
        demo/ahead.svg demo/tile.svg; do
        [ -s "$1/$file" ] || echo "$file is missing or empty"
        cmp "$1/$file" "$2/$file" 2>&1
    done
    [ "$(wc -c <"$1/demo/tile.svg")" -le 60000 ] || echo "the tile is larger than 60 kB"
}

# Prints how many limits of killing were passed.
kills() {
    grep -c '"killed"' "$1/summary.json"
}

unless() { # unless MEANT SEEN: prints both when they differ
    [ "$1" = "$2" ] || printf 'meant:\n%s\nseen:\n%s\n' "$1" "$2"
}

# Prints what is wrong with the table: each plant has every column, in its place.
badly_tabled() {
    for plant in $(awk -F, 'NR > 1 { print $2 }' "$2" | sort -u); do
        grep -q -E "^$plant +(-|cover soon|carry in|thaw needed) +(-|late|[A-Z][a-z]+ [ 0-9]+ [0-9:]+)\
 +(hold|thawing|wait and see) +-?[0-9]+\.[0-9] +[0-9]+ +[0-9]+\.[0-9] (leaf|bud|root|point|organ)\
 +-?[0-9]+\.[0-9]\$" "$1" || echo "no line, or a bad one, for $plant"
    done
    grep -q -E '^olive-tree +cover soon +[A-Z][a-z]+ ' "$1" ||
        echo "no time by which the olive tree is to be covered"
}

# Prints what is wrong with the story: every state, reasons, order, length.
badly_told() {
    sed -n '/^What happened:$/,/^$/p' "$1" >"$scratch/story"
    lines=$(wc -l <"$scratch/story")
    [ "$lines" -gt 10 ] && [ "$lines" -le 29 ] || echo "$lines lines"
    for state in 'hold' 'cover soon' 'carry in' 'thaw needed' 'thawing' 'wait and see'; do
        grep -q "^[A-Z][a-z][a-z] .*  $state  *[a-z]" "$scratch/story" || echo "$state is not told"
    done
    [ "$(grep -c '^    [a-z-]*: [A-Z]' "$scratch/story")" -ge 5 ] || echo "too few reasons"
    grep -q '^and [0-9]* more in events.csv$' "$scratch/story" || echo "what is left out is not told"
    awk '/^[A-Z][a-z][a-z] / { if ($2 < last) print "out of order: " $0; last = $2 }' \
        "$scratch/story"
}

echo 1..10
ok "it ends with exit 0" none "$(play "$scratch/one")"
demo=$scratch/one/demo
ok "no line is wider than 80 columns" none "$(
    [ -s "$scratch/one/printed" ] || echo "nothing was printed"
    too_wide "$scratch/one/printed")"
ok "the table has a line with every column for each plant" none \
    "$(badly_tabled "$scratch/one/printed" "$demo/timeline.csv")"
ok "the story tells the week" none "$(badly_told "$scratch/one/printed")"
ok "every state comes up" none "$(missing_states "$demo")"
ok "a small bog pot freezes through, is called, and thaws" none \
    "$(unless "$(printf 'hold\nthaw needed\nthawing')" "$(states_of "$demo" yellow-pitcher)")"
ok "a hardy palm at a wall needs nothing" none \
    "$(unless hold "$(states_of "$demo" fan-palm)")"
ok "who was not protected is to be left alone in the end" none \
    "$(unless 'wait and see' "$(states_of "$demo" mandarin | tail -n 1)")"
again=$(play "$scratch/two")
ok "it gives the same bytes again" none "$again$(differing "$scratch/one" "$scratch/two")"
failed=$(play "$scratch/three" --hands obey)
without=$(kills "$demo")
with=$(kills "$scratch/three/demo")
ok "jobs that are done in time save most of what was lost" none "$failed$(
    [ "$without" -gt 6 ] && [ $((3 * with)) -lt "$without" ] ||
        echo "killed: $without parts with no hands, $with with all jobs done")"
