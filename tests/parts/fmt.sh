#!/usr/bin/env bash
source "$(dirname "${BASH_SOURCE[0]}")/../lib.sh"
have_cargo fmt || skip "rustfmt is missing" "rustup component add rustfmt"

cargo fmt --all --check
cargo fmt --manifest-path "$firmware" --check
cargo fmt --manifest-path tests/on-target/examples/Cargo.toml --check
