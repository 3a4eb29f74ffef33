#!/usr/bin/env bash
# Counts what the core costs on a Cortex-M0 and compares it with the ledger; --write rewrites the ledger and README's tables,
# --only ITEMS prints the rows of items whose names begin so.
source "$(dirname "${BASH_SOURCE[0]}")/../lib.sh"

# One compiler for all: counts move with its version, and the ledger's head says which wrote it.
if ! have_debian_source || ! have ld.lld; then
  skip "Debian's Rust compiler, its source or lld is missing" "$debian_rust"
fi

for profile in release small; do
  debian_cargo build "$target" --manifest-path "$firmware" --target-dir target/thumb --profile "$profile" --bins
done
cargo run --quiet --release --package milliglow-m0 --bin m0-ledger -- \
  "target/thumb/$target" "$(/usr/bin/rustc --version)" "$@"
