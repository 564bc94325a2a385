#!/bin/sh
# SPDX-License-Identifier: MIT
#
# An include may only look down the layers; physics and plants are pure (no allocation, no I/O,
# no clock) and free of the C library's transcendental functions, whose last bits vary between
# machines; the module exports its entry points and nothing else. Faults planted in a copy of the
# sources show that each check can fail. Prints TAP. OW_BUILD names the folder of built things.
set -u

root=$(cd "$(dirname "$0")/../.." && pwd)
build=${OW_BUILD:-$root/build}
scratch=$(mktemp -d) || exit 1
trap 'rm -rf "$scratch"' EXIT

# Prints "file:line: ..." for each include that does not look down. $1 is the folder of sources.
includes_that_look_up() {
    (cd "$1" && find . -name '*.[ch]' | sed 's,^\./,,' | sort | xargs awk '
        BEGIN {
            n = split("physics plants garden judgement outputs people hub hosts", layer, " ")
            for (i = 1; i <= n; i++) rank[layer[i]] = i
        }
        function layer_of(path) {
            return path ~ /\// ? substr(path, 1, index(path, "/") - 1) : ""
        }
        function allowed(from, path) {
            if (path == "status.h") return 1
            if (path == "overwinter.h") return from == "hub" || from == "hosts"
            return (from in rank) && (layer_of(path) in rank) && rank[layer_of(path)] <= rank[from]
        }
        /^[ \t]*#[ \t]*include[ \t]*"/ {
            split($0, part, "\"")
            if (!allowed(layer_of(FILENAME), part[2]))
                print FILENAME ":" FNR ": may not include \"" part[2] "\""
        }')
}

# Prints "file:line: ..." for each impure call in physics and plants, comments left out.
impure_calls() {
    (cd "$1" && find physics plants -name '*.[ch]' | sort | xargs awk '
        BEGIN {
            names = "malloc calloc realloc free aligned_alloc strdup" \
                " fopen fclose fread fwrite fputs puts printf fprintf vprintf vfprintf" \
                " time clock clock_gettime gettimeofday localtime gmtime getenv rand" \
                " exp exp2 expm1 log log2 log10 log1p pow cbrt hypot" \
                " sin cos tan asin acos atan atan2 sinh cosh tanh erf erfc"
            n = split(names, name, " ")
            for (i = 1; i <= n; i++) bad[name[i]] = bad[name[i] "f"] = bad[name[i] "l"] = 1
        }
        FNR == 1 { in_comment = 0 }
        {
            text = $0
            code = ""
            while (text != "") {
                mark = in_comment ? "*/" : "/*"
                at = index(text, mark)
                if (!in_comment) code = code (at ? substr(text, 1, at - 1) " " : text)
                if (!at) break
                text = substr(text, at + 2)
                in_comment = !in_comment
            }
            sub(/\/\/.*/, "", code)
            gsub(/"([^"\\]|\\.)*"/, "\"\"", code)
            while (match(code, /[A-Za-z_][A-Za-z_0-9]*[ \t]*\(/)) {
                before = RSTART > 1 ? substr(code, RSTART - 1, 1) : ""
                called = substr(code, RSTART, RLENGTH - 1)
                sub(/[ \t]+$/, "", called)
                if ((called in bad) && before != "." && before != ">")
                    print FILENAME ":" FNR ": may not call " called "()"
                code = substr(code, RSTART + RLENGTH)
            }
        }')
}

# Prints the difference between the names in the version script $2 and those that $1 exports.
exports_that_differ() {
    [ -r "$1" ] || { echo "$1 is not built"; return; }
    sed -n '/global:/,/local:/p' "$2" | sed 's/.*global://; s/local:.*//' |
        tr -s '[:space:];' '\n' | sed '/^$/d' | sort >"$scratch/wanted"
    [ -s "$scratch/wanted" ] || { echo "$2 names no entry point"; return; }
    nm -D --defined-only "$1" | awk '$2 != "A" { sub(/@.*/, "", $3); print $3 }' |
        sort >"$scratch/exported"
    diff "$scratch/wanted" "$scratch/exported"
}

tests=0
result() { # result NAME WHETHER FINDINGS
    tests=$((tests + 1))
    [ "$2" = yes ] && echo "ok $tests - $1" && return
    echo "not ok $tests - $1"
    echo "${3:-nothing was found}" | sed 's/^/# /'
}
clean() { # clean NAME FINDINGS: passes when there are none
    result "$1" "$([ -z "$2" ] && echo yes)" "$2"
}
caught() { # caught NAME FINDINGS PART: passes when the one finding has PART in it
    case $2 in
        *"
"*) result "$1" no "$2" ;;
        *"$3"*) result "$1" yes ;;
        *) result "$1" no "$2" ;;
    esac
}

echo 1..12
clean "no include looks up" "$(includes_that_look_up "$root/module")"
clean "physics and plants are pure" "$(impure_calls "$root/module")"
clean "the module exports its entry points only" \
    "$(exports_that_differ "$build/overwinter.so" "$root/module/hub/exports.map")"

plant() { # plant FILE LINE: a fresh scratch tree with the one line in it
    rm -rf "$scratch/module"
    mkdir -p "$scratch/module/physics" "$scratch/module/plants" "$scratch/module/garden"
    echo '#include "status.h"' >"$scratch/module/physics/other.h"
    printf '%s\n' "$2" >"$scratch/module/$1"
}
plant physics/planted.c '#include "plants/taxa.h"'
caught "an include that looks up is caught" "$(includes_that_look_up "$scratch/module")" \
    'physics/planted.c:1: may not include "plants/taxa.h"'
plant garden/planted.c '#  include "overwinter.h"'
caught "an include of the interface from below is caught" \
    "$(includes_that_look_up "$scratch/module")" 'may not include "overwinter.h"'
plant garden/planted.c '#include "planted.h"'
caught "an include that names no layer is caught" "$(includes_that_look_up "$scratch/module")" \
    'may not include "planted.h"'
plant garden/planted.c '#include "physics/sky.h"'
clean "an include that looks down is let be" "$(includes_that_look_up "$scratch/module")"
plant physics/planted.c 'double f(double x) { return x + expf (x); }'
caught "a transcendental function is caught" "$(impure_calls "$scratch/module")" \
    'physics/planted.c:1: may not call expf()'
plant plants/planted.c 'void *f(void) { /* a */ return malloc(3); }'
caught "an allocation is caught" "$(impure_calls "$scratch/module")" 'may not call malloc()'
plant plants/planted.c 'long f(void) { return time(0); }'
caught "a look at the clock is caught" "$(impure_calls "$scratch/module")" 'may not call time()'
plant physics/planted.c 'double f(double x) { /* exp(x) */ return ow_exp(x) + sqrt(x); } // log(x)'
clean "our own functions, sqrt and comments are let be" "$(impure_calls "$scratch/module")"

# A library of two names held against a list of one.
printf '{ global: entry; local: *; };\n' >"$scratch/exports.map"
printf 'int entry(void); int stray(void);\nint entry(void) { return 1; }\n%s\n' \
    'int stray(void) { return 2; }' >"$scratch/two.c"
# CC may be a command with arguments: it is meant to be split.
# shellcheck disable=SC2086
${CC:-cc} -shared -fPIC -o "$scratch/two.so" "$scratch/two.c"
caught "a stray export is caught" \
    "$(exports_that_differ "$scratch/two.so" "$scratch/exports.map" | grep '^[<>]')" '> stray'
