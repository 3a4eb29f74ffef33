#!/usr/bin/env bash
# Counts the instructions of the hottest paths of a PC and compares them with benches/counts.csv; --write rewrites it.
source "$(dirname "${BASH_SOURCE[0]}")/../lib.sh"
have valgrind || skip "valgrind is missing" "apt-get install valgrind"

code=0
cargo run --quiet --release --package milliglow-benches --bin host-counts -- "$(rustc --version)" "$@" || code=$?
((code != 77)) || skip "benches/counts.csv is of another compiler" "bash tests/parts/host-counts.sh --write"
exit "$code"
