#!/usr/bin/env bash
source "$(dirname "${BASH_SOURCE[0]}")/../lib.sh"

cargo test --workspace --doc --no-fail-fast
