#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The demonstration that stays, as `make demo STAY=1` plays it: the page is there in time and shows the
# plants in a real browser, goes on, and when it is ended by its number nothing is left. Prints TAP.
# OW_BUILD names the folder of built things. rig.sh and page.sh set what is used here.
# shellcheck disable=SC1091,SC2034,SC2154
set -u
. "$(dirname "$0")/../live/rig.sh"
. "$(dirname "$0")/../page/page.sh"

. "$(dirname "$0")/../tap.sh"
evidence() { tail -n 20 "$scratch/check.txt" "$scratch/stay.err"; }
passes_it_on() { # the target does what is tested here, and has the page built first
    make -n -C "$root" demo STAY=1 BUILD="$build" >"$scratch/recipe" 2>&1
    grep -q "OW_STAY='1' tests/demo/live " "$scratch/recipe" && grep -q 'install-needs page' "$scratch/recipe"
}
address() { sed -n 's,^  \(http://127\.0\.0\.1:[0-9]*/\)$,\1,p' "$scratch/stay.out"; }
shown() { [ -n "$(address)" ] || gone "$stay_pid"; }
in_time() { until_so 60 shown && [ -n "$(address)" ]; }
shows_plants() { OW_PAGE=$(address) drive "$(dirname "$0")/stay.cjs"; }
stays() { ! gone "$stay_pid"; }
# Of what was started for it: each has the folder of its garden in its command line.
folder() { sed -n 's,^.* tell \(/.*\)/garden\.json.*$,\1,p' "$scratch/stay.out"; }
runs() { grep -l -s -a "$1" /proc/[0-9]*/cmdline; }
something_runs() { [ -n "$(folder)" ] && [ "$(runs "$(folder)" | wc -l)" -ge 4 ]; } # broker, run, guard, sim
ends() {
    kept=$(folder)
    kill -TERM "$stay_pid"
    until_so 20 gone "$stay_pid"
}
nothing_is_left() { [ -n "$kept" ] && ! runs "$kept" && [ ! -e "$kept" ]; }
nobody_listens() {
    node -e 'fetch(process.argv[1]).then(() => process.exit(1), () => process.exit(0))' "$(address)"
}

# A terminal at which nobody presses Enter.
mkfifo "$scratch/terminal"
(cd "$root" && exec env OW_BUILD="$build" OW_STAY=1 OW_PACE="${OW_PACE:-20000}" tests/demo/live \
    config-examples/rooftop.json config-examples/rooftop-cold-spell.csv) \
    >"$scratch/stay.out" 2>"$scratch/stay.err" <"$scratch/terminal" &
stay_pid=$!
started=$stay_pid
exec 3>"$scratch/terminal"

echo 1..8
ok "make demo STAY=1 plays it" passes_it_on
ok "the address of a page is told in time" in_time
ok "the page shows the plants, minded and going on" shows_plants
ok "it stays" stays
ok "a broker, the hub, the guard and the simulator are at work" something_runs
ok "it ends when it is asked to, by its number" ends
ok "nothing is left running, nor its folder" nothing_is_left
ok "nobody answers at the address" nobody_listens
