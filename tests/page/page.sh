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

drive() { # drive SCRIPT
    NODE_PATH=$build/npm/tests/node_modules node "$@"
}
