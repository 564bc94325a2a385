# SPDX-License-Identifier: MIT
# shellcheck shell=sh disable=SC2034,SC2154
#
# Read by scripts that play a garden live (". tests/live/rig.sh"): a folder that goes away, a broker
# of their own on a free port of this machine, and processes that are ended by their own numbers.
# OW_BUILD names the folder of built things.

root=$(cd "$(dirname "$0")/../.." && pwd)
build=$(cd "${OW_BUILD:-$root/build}" && pwd) || exit 1
scratch=$(mktemp -d) || exit 1
started=
PATH=$PATH:/usr/sbin
export LC_ALL=C

# start NAME COMMAND...: in the background; NAME_pid is its number, NAME.out and NAME.err its words.
start() {
    name=$1
    shift
    "$@" >>"$scratch/$name.out" 2>>"$scratch/$name.err" </dev/null &
    eval "${name}_pid=$!"
    started="$! $started"
}

# gone PID: has it ended? (An ended child that nobody waited for counts as gone.)
gone() {
    ! kill -0 "$1" 2>/dev/null || grep -q '^State:.Z' "/proc/$1/status" 2>/dev/null
}

# end_of PID: asks it to end, insists after three seconds.
end_of() {
    gone "$1" || { kill -CONT "$1"; kill -TERM "$1"; } 2>/dev/null
    tries=0
    while ! gone "$1" && [ "$tries" -lt 30 ]; do
        sleep 0.1
        tries=$((tries + 1))
    done
    kill -KILL "$1" 2>/dev/null
    wait "$1" 2>/dev/null
}

end_all() {
    for pid in $started; do end_of "$pid"; done
    started=
}

trap 'end_all; rm -rf "$scratch"' EXIT
trap 'exit 130' INT
trap 'exit 143' TERM HUP

# until_so SECONDS COMMAND...: waits for the command to hold; false when it does not in time.
until_so() {
    limit=$(($1 * 20))
    shift
    while ! "$@" >/dev/null 2>&1; do
        limit=$((limit - 1))
        [ "$limit" -gt 0 ] || return 1
        sleep 0.05
    done
}

answers() {
    gone "$broker_pid" || mosquitto_pub -p "$port" -t rig/hello -m hello
}

# start_broker [LINES]: on $port, or on a free one that $port then names; LINES are more of its
# configuration. A port that is taken makes the broker end at once.
start_broker() {
    lines=${1:-}
    asked=${port:-}
    for turn in 1 2 3 4 5 6 7 8 9 10; do
        port=${asked:-$((20000 + ($$ * 11 + turn * 1291) % 12000))}
        printf 'listener %s 127.0.0.1\nallow_anonymous true\nuser %s\n%s\n' \
            "$port" "$(id -un)" "$lines" >"$scratch/broker.conf"
        start broker mosquitto -c "$scratch/broker.conf"
        until_so 10 answers
        gone "$broker_pid" || return 0
    done
    echo "no broker came up" >&2
    cat "$scratch/broker.err" >&2
    return 1
}
