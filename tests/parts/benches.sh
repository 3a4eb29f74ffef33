#!/usr/bin/env bash
# Every bench runs once and unmeasured: that it works is tested, how fast it is is not.
source "$(dirname "${BASH_SOURCE[0]}")/../lib.sh"

cargo test --package milliglow-benches --benches
