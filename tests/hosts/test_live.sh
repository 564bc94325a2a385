#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The live hosts with a real broker: coming up, one instance, reload, loss of broker and hub, the
# guard, TLS and passwords, the plugin inside the broker. A private broker on a free loopback port
# is started and stopped here; clocks run 20 times as fast. Prints TAP. OW_BUILD names the folder
# of built things.
#
# $state and $alert in patterns are topics, not variables:
# shellcheck disable=SC2016
set -u

root=$(cd "$(dirname "$0")/../.." && pwd)
build=${OW_BUILD:-$root/build}
work=$(mktemp -d) || exit 1
started=
cleanup() {
    for pid in $started; do
        kill -CONT "$pid" 2>/dev/null
        kill -KILL "$pid" 2>/dev/null
    done
    rm -rf "$work"
}
trap cleanup EXIT
trap 'exit 1' INT TERM
cd "$work" || exit 1
chmod 755 "$work" # the broker may drop to a user of its own
export ASAN_OPTIONS=detect_leaks=0

echo 1..55
. "$root/tests/tap.sh"
evidence() { tail -n 20 check.txt err.txt run.err guard.err broker.log seen; }
soon() { # soon SECONDS COMMAND...: waits until it succeeds
    left=$(($1 * 20))
    shift
    until "$@"; do
        left=$((left - 1))
        [ "$left" -gt 0 ] || { echo "in vain: $*"; return 1; }
        sleep 0.05
    done
}
says() { grep -q -e "$2" "$1"; } # says FILE PATTERN
since() { # since MARK PATTERN: a line like this was seen after the mark
    sed -n "/^-- $1\$/,\$p" seen | grep -q -e "$2"
}
mark() { echo "-- $1" >>seen; }
ended() { # ended PID CODE
    wait "$1"
    code=$?
    [ "$code" -eq "$2" ] || { echo "exit code $code, not $2"; return 1; }
}

# ---- a broker of our own ----
port=$((20000 + $$ % 20000))
start_broker() { # start_broker [LINE...]: on the first free port
    for _ in 1 2 3 4 5 6 7 8 9 10; do
        { printf 'listener %d 127.0.0.1\nallow_anonymous true\n' "$port"; printf '%s\n' "$@"; } \
            >broker.conf
        mosquitto -c broker.conf >>broker.log 2>&1 &
        broker=$!
        started="$started $broker"
        if soon 5 answers; then
            return 0
        fi
        kill "$broker" 2>/dev/null
        [ "${keep_port:-no}" = yes ] || port=$((port + 1))
    done
    return 1
}
answers() {
    kill -0 "$broker" 2>/dev/null && mosquitto_pub -p "$port" -t probe -m 1 2>/dev/null
}
listen() {
    mosquitto_sub -p "$port" -t '#' -F '%r %t %.150p' >>seen 2>/dev/null &
    listener=$!
    started="$started $listener"
    soon 5 heard_probe
}
heard_probe() {
    mosquitto_pub -p "$port" -t "probe/$listener" -m 1
    says seen "probe/$listener"
}
tell() { mosquitto_pub -p "$port" -t "$1" -m "$2"; }

garden() { # garden FILE BROKER-KEYS STORE
    cat >"$1" <<END
{
  "garden": "yard",
  "site": { "latitude_deg": 50, "longitude_deg": 10, "time_zone": "CET-1CEST,M3.5.0,M10.5.0/3" },
  "broker": { $2 },
  $3
  "readings": [
    { "id": "air", "measures": "air", "topic": "s/air", "unit": "C" },
    { "id": "porch-air", "measures": "air", "place": "porch", "topic": "s/porch", "unit": "C" }
  ],
  "forecast": { "topic": "w/f", "list": "/h", "time": "/t", "air": "/a", "unit": "C" },
  "places": [ { "id": "open", "kind": "open sky" },
              { "id": "porch", "kind": "glasshouse", "floor_m2": 8, "glazing_m2": 26 } ],
  "plants": [
    { "id": "lemon", "place": "open", "pot": { "diameter_mm": 300, "depth_mm": 280 },
      "limits": { "roots": { "damaged_c": -4, "killed_c": -7 } } }
  ],
  "outputs": [
    { "id": "porch-heater", "kind": "heater", "place": "porch", "watts": 1000,
      "keep_air_above_c": 3, "topic": "plug/set", "on": "on {seconds}", "off": "off",
      "lease_s": 60, "off_by_itself_s": 120, "cautions_read": true,
      "reported": { "topic": "plug/state", "on": "on", "off": "off" } }
  ]
}
END
}
here() { printf '"host": "127.0.0.1", "port": %d' "$port"; }
run() { # run GARDEN: in the background
    "$build/overwinter" run "$1" --pace 20 --from 2024-01-10 >>out.txt 2>run.err &
    hub=$!
    started="$started $hub"
}
try() { # try ARGUMENTS...: leaves err.txt and the exit code
    timeout 20 "$build/overwinter" run "$@" >out.txt 2>err.txt
    code=$?
}
refused() { # refused CODE PART
    [ "$code" -eq "$1" ] || { echo "exit code $code, not $1"; return 1; }
    grep -qF -e "$2" err.txt
}

# ---- without a broker, and what is refused before one is asked ----
: >seen
garden g.json "$(here)" ""
try g.json --once
ok "--once gives up without a broker" refused 3 'cannot be reached'
ok "a garden without a store is advised" says err.txt 'gives no store'
sed '/"broker"/d' g.json >none.json
try none.json
ok "a garden without a broker is refused" refused 1 'names no broker'
garden far.json '"host": "192.0.2.1"' ""
try far.json --pace 20
ok "a fast clock is refused with a broker elsewhere" refused 1 'no real device'
try far.json --from 2024-01-10
ok "so is a shifted one" refused 1 'no real device'
printf 'secret\n' >password
chmod 644 password
garden word.json "$(here), \"user\": \"hub\", \"password_file\": \"$work/password\"" ""
try word.json --once
ok "a password that others can read is refused" refused 1 'chmod 600'
garden tls.json "$(here), \"ca_file\": \"$work/nowhere.crt\"" ""

# ---- coming up, one instance ----
start_broker || { echo "Bail out! no broker"; exit 1; }
mark up
listen
try tls.json --once
ok "TLS that cannot be had is never left out" refused 1 'nothing is sent without TLS'
garden g.json "$(here)" "\"store\": \"$work/store\","
garden other.json "$(here)" "\"store\": \"$work/other-store\","
run g.json
ok "the hub comes up" soon 10 since up '^0 homie/5/yard/$state ready'
ok "after init" since up '^0 homie/5/yard/$state init'
try g.json --once
ok "a second one with its store is refused" refused 3 'already minds this garden'
try other.json --once --pace 20
ok "a second one with another store is refused" refused 3 'another instance minds this garden'
tell s/air 1.5
ok "a reading makes a state" soon 10 since up '/lemon/state hold'

# ---- what people tell ----
say() { # say WORDS...: leaves said.txt, err.txt and the exit code
    timeout 20 "$build/overwinter" tell g.json "$@" >said.txt 2>err.txt
    code=$?
}
took() { # took TEXT
    [ "$code" -eq 0 ] || { echo "exit code $code"; return 1; }
    [ "$(cat said.txt)" = "$1" ]
}
say lemon place porch --who ada
ok "what is told is taken" took 'lemon: place porch is taken.'
ok "and is in the season log, with who" soon 5 says store/season.csv \
    '^2024-01-1[0-9]T[0-9:]*Z,lemon,moved,"porch, by ada"$'
say lemon moved porch --who ada
ok "what is so already is taken too" took 'lemon: place porch is taken.'
say lemon moved cellar
ok "a value that is not known is refused with the choices" refused 1 'one of open, porch'
say lemon prune
ok "so is a word" refused 1 'one of place, wearing, done, seen'
say fig place porch
ok "and a thing" refused 1 'one of lemon, porch-heater, garden'
say lemon 'done' cover --who ada
ok "what the garden refuses is told with its reason" refused 1 'no job is asked for'
say garden stop --who ada
ok "outputs are stopped" took 'garden: stop true is taken.'
ok "which the log tells" soon 5 says store/season.csv ',garden,stopped,"all outputs, by ada"$'
say porch-heater release --who ada
ok "and released" took 'porch-heater: release ada is taken.'
say lemon place open

# Once a season: three hours of hard frost ahead, too short for the roots.
say garden 'done' --who ada
ok "no job of the garden yet" refused 1 'no job is asked for'
now=$(date -u -d 2024-01-10 +%s)
hours=$(for i in $(seq 1 48); do
    air=2
    [ "$i" -ge 30 ] && [ "$i" -le 32 ] && air=-4
    printf '%s{"t":%d,"a":%d}' "$([ "$i" -gt 1 ] && echo ,)" $((now + 3600 * i)) "$air"
done)
mark drain
tell w/f "{\"h\":[$hours]}"
ok "a hard frost ahead asks to drain the garden" soon 10 since drain \
    '/garden/jobs .*"plant":"garden","job":"drain"'
say garden 'done' drain --who ada
ok "which is told as done" took 'garden: done {"job":"drain","who":"ada"} is taken.'
ok "and is in the season log" soon 5 says store/season.csv ',garden,done,.*drain.*ada'
say garden 'done' drain --who ada
ok "once" refused 1 'no such job is asked for'

# ---- reload ----
mark wrong
sed 's/"diameter_mm": 300/"diameter_mm": 30000/' g.json >next.json
cp g.json good.json
mv next.json g.json
kill -HUP "$hub"
ok "a wrong garden is told" soon 5 says run.err 'diameter_mm is 30000'
ok "and not taken" soon 5 says run.err 'not taken'
sed 's/"id": "lemon"/"id": "lime"/' good.json >g.json
kill -HUP "$hub"
ok "a right one is taken" soon 10 since wrong '/lime/state'
ok "outputs are told off first, unretained" since wrong '^0 plug/set off'
mv good.json g.json
kill -HUP "$hub"
soon 10 since wrong '/lemon/state'

# ---- the guard ----
mark guard
"$build/overwinter-guard" g.json --pace 20 2>guard.err &
guard=$!
started="$started $guard"
ok "the guard sees that the garden is minded" soon 10 says guard.err 'is minded'
mark killed
kill -KILL "$hub"
ok "the broker tells that the hub is lost" soon 5 since killed '/$state lost'
ok "the guard says off" soon 5 since killed '^0 plug/set off'
ok "and leaves one notice" soon 5 since killed '/$alert/unminded Nobody minds'
mark again
run g.json
ok "the hub comes up again" soon 10 since again '/$state ready'
ok "the notice goes" soon 10 since again '/$alert/unminded $'
kill -STOP "$hub"
mark frozen
ok "a frozen hub is noticed within a lease" soon 4 since frozen '^0 plug/set off'
kill -CONT "$hub"

# ---- the broker goes away ----
mark restart
kill -KILL "$broker"
soon 5 says run.err 'lost the broker'
keep_port=yes
start_broker
listen
mark back
ok "hub and guard come back to a new broker" soon 15 since restart '/$state ready'
tell s/air 0.5
# It is shown with the next half hour of the garden: 90 s at this pace.
ok "and hear again" soon 100 since back '/lemon/measured-at 2024'
kill -STOP "$broker"
ok "a frozen broker is noticed" soon 30 says run.err 'lost the broker.*\(answer\|acknowledge\)'
mark thawed
kill -CONT "$broker"
ok "and it is joined again" soon 20 since thawed '/$state ready'

# ---- going down ----
mark down
kill -TERM "$hub"
ok "the hub ends well" ended "$hub" 0
ok "and says so" soon 5 since down '^0 homie/5/yard/$state disconnected'
ok "its state is kept" test -s store/state
say lemon place porch
ok "nobody is told when nobody minds the garden" refused 3 'nobody minds the garden'
kill -TERM "$guard"
ok "the guard ends well" ended "$guard" 0
kill "$listener" "$broker" 2>/dev/null

# ---- inside the broker ----
exports_entries_only() {
    nm -D --defined-only "$build/overwinter-broker.so" | awk '$2 != "A" { print $3 }' | sort >names
    printf 'mosquitto_plugin_%s\n' cleanup init version | diff - names
}
ok "the plugin shows its three entry points only" exports_entries_only
needs_client() { objdump -p "$build/overwinter-broker.so" | grep 'NEEDED.*mosquitto'; }
lacks_client() { ! needs_client; }
ok "and is not linked with the client library" lacks_client
mark plugin
garden p.json "$(here)" ""
start_broker "plugin $build/overwinter-broker.so" "plugin_opt_config $work/p.json"
listen
ok "the plugin brings the garden up" soon 5 since plugin '/$state ready'
ok "every output is blocked" soon 5 since plugin 'blocked-by .*cannot promise to switch off'
tell s/air 1.5
ok "a reading makes a state there too" soon 5 since plugin '/lemon/state hold'
mark spoilt
sed 's/"diameter_mm": 300/"diameter_mm": 30000/' p.json >next.json
mv next.json p.json
kill -HUP "$broker"
ok "a wrong garden is an alert" soon 5 since spoilt '/$alert/garden-file .*30000'
kill "$broker"
ok "the broker ends well" ended "$broker" 0
mark bad
start_broker "plugin $build/overwinter-broker.so" "plugin_opt_config $work/p.json"
listen
ok "a wrong garden does not stop the broker" soon 5 since bad '/$alert/garden-file .*30000'
kill "$broker" "$listener" 2>/dev/null
