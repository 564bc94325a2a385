#!/bin/sh
# SPDX-License-Identifier: MIT
#
# TLS to the broker: program and guard join with the right certificates, and with anything else
# never connect and never fall back to the clear. The broker tells each connection and each client
# that gives its name; one more listener of it talks plain, so that it can be heard. Prints TAP.
# Topics of the hub have a $ in them, and rig.sh and case.sh set what is used here.
# shellcheck disable=SC2016,SC2154,SC2034,SC1091
set -u
. "$(dirname "$0")/rig.sh"
. "$(dirname "$0")/case.sh"

pace=60 # the look around for another instance takes a sixth of a second
pem=$scratch

# authority NAME; certificate NAME AUTHORITY WHOSE: keys and certificates of a few hours.
new_key='-newkey ec -pkeyopt ec_paramgen_curve:P-256 -nodes'
authority() {
    # $new_key is a list of words: it is meant to be split.
    # shellcheck disable=SC2086
    openssl req -x509 $new_key -days 1 -subj "/CN=$1" -keyout "$pem/$1.key" -out "$pem/$1.crt"
}
certificate() {
    # shellcheck disable=SC2086
    openssl req $new_key -subj "/CN=$1" -keyout "$pem/$1.key" -out "$pem/$1.csr" &&
        printf 'subjectAltName=%s\n' "$3" >"$pem/$1.ext" &&
        openssl x509 -req -days 1 -in "$pem/$1.csr" -CA "$pem/$2.crt" -CAkey "$pem/$2.key" \
            -CAcreateserial -extfile "$pem/$1.ext" -out "$pem/$1.crt"
}
certificates() {
    authority school && authority foreign &&
        certificate server school DNS:localhost,IP:127.0.0.1 &&
        certificate elsewhere school DNS:elsewhere.example && certificate hub school DNS:hub
}

# A broker that talks plain on $port; TLS on the next; TLS under another name; TLS for those that
# have a certificate; and plain for our part where TLS is asked for.
tls_listener() { # tls_listener PORT NAME
    printf 'listener %s 127.0.0.1\ncafile %s\ncertfile %s\nkeyfile %s\n' \
        "$1" "$pem/school.crt" "$pem/$2.crt" "$pem/$2.key"
}
listeners() {
    echo 'log_type all'
    tls_listener $((port + 1)) server
    tls_listener $((port + 2)) elsewhere
    tls_listener $((port + 3)) server
    echo 'require_certificate true'
    echo "listener $((port + 4)) 127.0.0.1"
}
start_tls_broker() {
    for turn in 1 2 3 4 5 6; do
        port=$((20000 + ($$ * 13 + turn * 1709) % 12000))
        start_broker "$(listeners)" && return 0
    done
    return 1
}

# The garden with another broker: KEYS are its host, port and files.
with() { # with KEYS
    sed "s|\"broker\": {.*|\"broker\": { $1 },|" "$scratch/garden.json" >"$scratch/tls.json"
}
ca='"ca_file": "'$pem'/school.crt"'
own='"cert_file": "'$pem'/hub.crt", "key_file": "'$pem'/hub.key"'
at() { printf '"host": "localhost", "port": %d, "user": "hub"' $((port + $1)); }

# How many connections came to a port, or were closed before the broker looked at them, which then
# says no port; how many clients gave their name to the broker.
connections() {
    grep -c -e "New connection from .* on port $((port + $1))\\." \
        -e 'Client connection from .* failed' "$scratch/broker.err"
}
names() { grep -c 'New client connected from .* as overwinter' "$scratch/broker.err"; }

joins() { # joins KEYS
    with "$1"
    before=$(names)
    start hub "$build/overwinter" run "$scratch/tls.json" --pace $pace --from 2026-01-05
    until_so 10 more_names 2 && until_so 10 is_ready
    joined=$?
    end_of "$hub_pid"
    return $joined
}
more_names() { [ "$(names)" -ge $((before + $1)) ]; } # the one that looks around, then the hub
is_ready() { [ "$(stored "$tree/\$state")" = ready ]; }

# Tried once: exit CODE, told in words, and no client gave its name; at listener N a connection was
# tried.
refused() { # refused CODE N WORDS KEYS
    with "$4"
    before=$(names)
    came=$(connections "$2")
    timeout 20 "$build/overwinter" run "$scratch/tls.json" --pace $pace --from 2026-01-05 --once \
        >"$scratch/told" 2>&1
    code=$?
    cat "$scratch/told"
    echo "exit code $code, $(names) names after $before, $(connections "$2") after $came"
    [ "$code" -eq "$1" ] && grep -qF -e "$3" "$scratch/told" && [ "$(names)" -eq "$before" ] &&
        { [ "$code" -eq 1 ] || until_so 5 more_connections "$2"; }
}
more_connections() { [ "$(connections "$1")" -gt "$came" ]; } # the broker's log may come later
guard_tells() { # guard_tells WORDS KEYS: over two attempts, and never gives its name
    with "$2"
    before=$(names)
    : >"$scratch/guard.err"
    start guard "$build/overwinter-guard" "$scratch/tls.json" --pace $pace
    until_so 5 said guard.err "$1"
    told=$?
    sleep 1.2
    end_of "$guard_pid"
    [ "$told" -eq 0 ] && [ "$(names)" -eq "$before" ]
}

echo 1..18
certificates >"$scratch/openssl.out" 2>&1 || { cat "$scratch/openssl.out" >&2; exit 1; }
start_tls_broker || exit 1
garden

ok "the right authority and name: it joins" joins "$(at 1), $ca"
ok "an address that is in the certificate as well" joins \
    "\"host\": \"127.0.0.1\", \"port\": $((port + 1)), $ca"
ok "with a certificate of its own where one is asked for" joins "$(at 3), $ca, $own"

ok "a foreign authority is refused" refused 3 1 "broker.ca_file is \"$pem/foreign.crt\"" \
    "$(at 1), \"ca_file\": \"$pem/foreign.crt\""
ok "another name is refused" refused 3 2 'broker.host is "localhost", which is no name' \
    "$(at 2), $ca"
ok "a plain listener is refused" refused 3 4 "broker.port is $((port + 4))" "$(at 4), $ca"
ok "which takes those that talk plain" joins "$(at 4)"
ok "no certificate where one is asked for is refused" refused 3 3 'cert_file' "$(at 3), $ca"
ok "a key that does not fit is refused" refused 3 1 "broker.key_file is \"$pem/server.key\"" \
    "$(at 1), $ca, \"cert_file\": \"$pem/hub.crt\", \"key_file\": \"$pem/server.key\""
ok "a file of authorities that is not there ends it" refused 1 1 \
    "broker.ca_file is \"$pem/none.crt\", which cannot be read" \
    "$(at 4), \"ca_file\": \"$pem/none.crt\""
ok "so does a key that is not there" refused 1 1 \
    "broker.key_file is \"$pem/none.key\", which cannot be read" \
    "$(at 4), $ca, \"cert_file\": \"$pem/hub.crt\", \"key_file\": \"$pem/none.key\""
cp "$pem/hub.key" "$pem/shared.key" && chmod 640 "$pem/shared.key"
ok "and a key that others can read" refused 1 1 \
    "broker.key_file is \"$pem/shared.key\", with mode 640, so others" \
    "$(at 4), $ca, \"cert_file\": \"$pem/hub.crt\", \"key_file\": \"$pem/shared.key\""
ok "one that holds no certificate is refused" refused 3 1 \
    "broker.ca_file is \"$scratch/garden.json\", which holds no certificates" \
    "$(at 1), \"ca_file\": \"$scratch/garden.json\""

ok "the guard refuses a foreign authority" guard_tells 'broker.ca_file is ".*foreign.crt"' \
    "$(at 1), \"ca_file\": \"$pem/foreign.crt\""
ok "and a plain listener" guard_tells 'the broker must talk TLS' "$(at 4), $ca"
with "$(at 1), $ca"
before=$(names)
start guard "$build/overwinter-guard" "$scratch/tls.json" --pace $pace
ok "and joins with the right one" until_so 5 more_names 1
end_of "$guard_pid"

# The broker comes back without TLS on the same port, and then with it.
start run "$build/overwinter" run "$scratch/tls.json" --pace $pace --from 2026-01-05
until_so 10 is_ready
kill -KILL "$broker_pid"
until_so 5 said run.err 'lost the broker'
: >"$scratch/broker.err"
kept=$port
port=$((kept + 1))
start_broker 'log_type all'
tried_tls() { grep 'Client <unknown> disconnected' "$scratch/broker.err" && [ "$(names)" -eq 0 ]; }
ok "a broker that is back without TLS is tried and not joined" until_so 12 tried_tls
end_of "$broker_pid"
port=$kept
start_broker "$(listeners)"
ok "and joined when it has TLS again" until_so 15 is_ready
end_of "$run_pid"
