#!/usr/bin/env bash
source "$(dirname "${BASH_SOURCE[0]}")/../lib.sh"
have_cargo clippy || skip "clippy is missing" "rustup component add clippy"

cargo clippy --workspace --all-targets -- -D warnings
cargo clippy --package milliglow --all-targets --all-features -- -D warnings
