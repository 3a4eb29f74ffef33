#!/usr/bin/env bash
# Builds the core for a Cortex-M0 with no feature and with each feature alone.
source "$(dirname "${BASH_SOURCE[0]}")/../lib.sh"
have jq || skip "jq is missing" "apt-get install jq"

if have_target; then
  build() { cargo rustc "$@"; }
elif have_debian_source; then
  build() { RUSTC=/usr/bin/rustc RUSTC_BOOTSTRAP=1 /usr/bin/cargo rustc -Zbuild-std=core "$@"; }
else
  skip "no Rust library for $target" \
    "rustup target add $target (or, on Debian: apt-get install rustc-web cargo-web rust-web-src)"
fi

features=$(cargo metadata --no-deps --format-version 1 |
  jq -r '.packages[] | select(.name == "milliglow").features | keys[] | select(. != "default")')

# Its own target directory: the compiler may differ from the host's.
for feature in "" $features; do
  echo "-- ${feature:-no feature}"
  build --package milliglow --lib --no-default-features --features "$feature" \
    --target "$target" --target-dir target/thumb -- -D warnings
done
