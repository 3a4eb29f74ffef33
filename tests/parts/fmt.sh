#!/usr/bin/env bash
source "$(dirname "${BASH_SOURCE[0]}")/../lib.sh"
have_cargo fmt || skip "rustfmt is missing" "rustup component add rustfmt"

cargo fmt --all --check
cargo fmt --manifest-path "$firmware" --check
cargo fmt --manifest-path tests/on-target/examples/Cargo.toml --check

# What emit writes is formatted as it stands: luminaires of every shape, some made by new.
readonly out=target/emitted
mkdir -p "$out"
for channels in 1 2 16; do
  rm -f "$out/of-$channels.toml"
  cargo run --quiet -- new "$out/of-$channels.toml" --channels "$channels" >/dev/null
done
for luminaire in host-sim/luminaires/*.toml tests/data/*luminaire.toml "$out"/*.toml; do
  cargo run --quiet -- emit "$luminaire" --output "$out" --quiet
done
for edition in 2021 2024; do
  rustfmt --edition "$edition" --check "$out"/*.rs
done
