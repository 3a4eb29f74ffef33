#!/usr/bin/env bash
# All targets, so that every bench runs once too, unmeasured: that it works is tested, how fast it is is not.
source "$(dirname "${BASH_SOURCE[0]}")/../lib.sh"

cargo test --workspace --all-targets --no-fail-fast
