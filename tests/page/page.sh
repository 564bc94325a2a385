# SPDX-License-Identifier: MIT
# shellcheck shell=sh disable=SC2034,SC2154
#
# Read after tests/live/rig.sh by what looks at the page: a broker that serves it as well, and a
# program of node with the packages of the tests.

free_port() {
    node -e 'const s = require("net").createServer();
        s.listen(0, "127.0.0.1", () => { console.log(s.address().port); s.close(); });'
}

# The page is at http://127.0.0.1:$page_port/.
start_page_broker() {
    page_port=$(free_port) || return 1
    start_broker "listener $page_port 127.0.0.1
protocol websockets
http_dir $build/tile"
}

# A second broker that serves the page and asks who one is; $locked_port, user ada, password frost.
start_locked_broker() {
    locked_port=$(free_port) || return 1
    : >"$scratch/passwords" && chmod 600 "$scratch/passwords"
    mosquitto_passwd -b "$scratch/passwords" ada frost
    cat >"$scratch/locked.conf" <<END
user $(id -un)
allow_anonymous false
password_file $scratch/passwords
# A broker with nothing but a WebSocket listener does not start.
listener $(free_port) 127.0.0.1
listener $locked_port 127.0.0.1
protocol websockets
http_dir $build/tile
END
    start locked mosquitto -c "$scratch/locked.conf"
}

drive() { # drive SCRIPT
    NODE_PATH=$build/npm/tests/node_modules node "$@"
}
