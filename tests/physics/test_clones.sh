#!/bin/sh
# SPDX-License-Identifier: MIT
#
# What is worked out lane beside lane (bodies, films, leaves) must have the same bytes whatever the
# processor, the optimiser and the compiler: the clones that this machine picks, plain x86-64,
# unvectorised code, the newer instruction set without clones (when this machine has it), and what
# gcc and clang make of it (those that there are).
set -u

top=$(cd "$(dirname "$0")/../.." && pwd) || exit 1
cc=${CC:-cc}
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT

# name flags...: by $by, or else $cc.
build_and_run() {
    name=$1
    shift
    "${by:-$cc}" -std=c17 -ffp-contract=off -fopenmp-simd -fno-trapping-math -fno-math-errno \
        -I"$top/module" -I"$top/tests" "$@" -o "$work/$name" \
        "$top/tests/physics/print_bytes.c" "$top"/module/physics/*.c "$top/module/status.c" \
        -lcmocka -lm &&
        "$work/$name" >"$work/$name.bytes" && [ -s "$work/$name.bytes" ]
}

tests=0 failed=0
# description name flags...: one test, the same bytes as plain x86-64.
same_bytes() {
    what=$1 name=$2
    shift 2
    tests=$((tests + 1))
    if build_and_run "$name" "$@" && cmp -s "$work/plain.bytes" "$work/$name.bytes"; then
        echo "ok $tests - $what"
    else
        echo "not ok $tests - $what"
        failed=$((failed + 1))
    fi
}

v3=$(grep -qw avx2 /proc/cpuinfo 2>/dev/null && grep -qw fma /proc/cpuinfo && echo yes)
compilers=$(for one in gcc clang; do command -v "$one" >/dev/null && echo "$one"; done)
echo "1..$((${v3:+1} + 2 + $(echo "$compilers" | grep -c .)))"
build_and_run plain -O3 -DOW_NO_CLONES || echo "# the plain one did not build or run"
same_bytes 'the clones that this machine picks' clones -O3
same_bytes 'unvectorised code' scalar -O1 -DOW_NO_CLONES
[ -z "$v3" ] || same_bytes 'x86-64-v3 throughout' v3 -O3 -march=x86-64-v3 -DOW_NO_CLONES
for one in $compilers; do
    by=$one same_bytes "built by $one" "by_$one" -O3
done
[ "$failed" -eq 0 ]
