#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The demonstration as `make demo` plays it, in a pipe: it ends well, fits 80 columns,
# brings up the states and switches the heater on leases, and leaves nothing behind. Prints TAP.
# OW_BUILD names the folder of built things.
set -u

root=$(cd "$(dirname "$0")/../.." && pwd)
build=${OW_BUILD:-$root/build}
scratch=$(mktemp -d) || exit 1
trap 'rm -rf "$scratch"' EXIT
PATH=$PATH:/usr/sbin

. "$root/tests/tap.sh"
evidence() { tail -n 20 "$scratch/check.txt" "$scratch/told"; }
narrow() { # bytes within a UTF-8 character do not count
    LC_ALL=C tr -d '\200-\277' <"$scratch/printed" | awk 'length($0) > 80 { print; n++ } END { exit n > 0 }'
}
plain() { ! LC_ALL=C grep "$(printf '\033')" "$scratch/printed"; }
shows() { grep -e "$1" "$scratch/printed"; }
# Every on has its off, and some leases were renewed.
switched() {
    awk '$2 == "porch-heater" { n[$3]++ }
        END { print n["on"] " on, " n["off"] " off, " n["renewed"] " renewed"
              exit !(n["on"] > 20 && n["off"] >= n["on"] - 1 && n["renewed"] > 5) }' \
        "$scratch/kept/devices.log"
}
# By its own timer only if it had to be: the program is there all the time.
by_command() {
    awk '$2 == "porch-heater" && $3 == "off" { n[$5]++ }
        END { print n["command"] " by command, " n["its"] " by its timer"
              exit !(n["command"] > 20 * n["its"]) }' "$scratch/kept/devices.log"
}
shut_while_open() { # the door stands open from 19:00 to 21:30 on the 23rd, less what a message takes
    ! awk '$2 == "porch-heater" && $3 == "on" && $1 > "2026-01-23T19:30" && $1 < "2026-01-23T21:15"' \
        "$scratch/kept/devices.log" | grep .
}
port_of() { sed -n 's/.*"port": \([0-9]*\).*/\1/p' "$scratch/kept/garden.json"; }
nobody_listens() { ! mosquitto_pub -p "$(port_of)" -t x -m x; }
nothing_runs() { # of what was started for this garden
    ! grep -l -s -a "$(sed -n 's/.*"store": "\(.*\)\/store".*/\1/p' "$scratch/kept/garden.json")" \
        /proc/[0-9]*/cmdline
}

mkdir "$scratch/kept"
begun=$(date +%s)
(cd "$root" && OW_BUILD=$build OW_KEEP=$scratch/kept tests/demo/live config-examples/rooftop.json \
    config-examples/rooftop-cold-spell.csv) >"$scratch/printed" 2>"$scratch/told"
status=$?
seconds=$(($(date +%s) - begun))

echo 1..17
echo "# it took $seconds s"
ok "it ends with exit 0" test "$status" -eq 0
ok "nothing goes wrong on the way" test ! -s "$scratch/told"
ok "no line is wider than 80 columns" narrow
ok "in a pipe there is nothing but text" plain
for state in 'cover soon' 'carry in' 'thaw needed' 'thawing' 'wait and see'; do
    ok "the state \"$state\" comes up live" shows "^[A-Z][a-z][a-z] [0-9 ]* [0-9:]*  [a-z -]*: $state"
done
ok "somebody is told" shows 'to caretaker, urgent: '
ok "what was protected is on hold" shows 'mandarin: hold'
ok "the heater goes on and off, on leases" switched
ok "switched by command, not left to its timer" by_command
ok "but never while the door is open" shut_while_open
ok "it says how to look further" shows '^To look further'
ok "its port is closed" nobody_listens
ok "nothing is left running" nothing_runs
