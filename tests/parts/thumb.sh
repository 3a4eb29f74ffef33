#!/usr/bin/env bash
# Builds the core for a Cortex-M0 with no feature and with each feature alone.
source "$(dirname "${BASH_SOURCE[0]}")/../lib.sh"
have jq || skip "jq is missing" "apt-get install jq"

features=$(cargo metadata --no-deps --format-version 1 |
  jq -r '.packages[] | select(.name == "milliglow").features | keys[] | select(. != "default")')

# Its own target directory: the compiler may differ from the host's.
for feature in "" $features; do
  echo "-- ${feature:-no feature}"
  target_cargo rustc "$target" --package milliglow --lib --no-default-features --features "$feature" \
    --target-dir target/thumb -- -D warnings
done
