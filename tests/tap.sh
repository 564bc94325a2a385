# SPDX-License-Identifier: MIT
# shellcheck shell=sh
#
# Read by test scripts: each test one line of TAP. What a command said is in check.txt, in the
# folder $scratch where there is one; a script whose commands leave more defines `evidence` anew.

tests=0
checked=${scratch:-.}/check.txt

evidence() { tail -n 20 "$checked"; }

# ok NAME COMMAND...: passes when the command does.
ok() {
    tests=$((tests + 1))
    of_test=$1
    shift
    if "$@" >"$checked" 2>&1; then
        echo "ok $tests - $of_test"
    else
        echo "not ok $tests - $of_test"
        evidence 2>/dev/null | cut -c1-300 | sed 's/^/# /'
    fi
}

# none FINDINGS: passes when there are none.
none() {
    [ -z "$1" ] || { printf '%s\n' "$1"; return 1; }
}
