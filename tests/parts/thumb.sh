#!/usr/bin/env bash
# Builds the core for small targets, with no feature and with each feature alone: Cortex-M0, M3 and M23 and a RISC-V, of which
# the first, third and last have no atomic compare-and-swap.
source "$(dirname "${BASH_SOURCE[0]}")/../lib.sh"
have jq || skip "jq is missing" "apt-get install jq"

features=$(cargo metadata --no-deps --format-version 1 |
  jq -r '.packages[] | select(.name == "milliglow").features | keys[] | select(. != "default")')

# Its own target directory: the compiler may differ from the host's.
for triple in "$target" thumbv7m-none-eabi thumbv8m.base-none-eabi riscv32imc-unknown-none-elf; do
  for feature in "" $features; do
    echo "-- $triple, ${feature:-no feature}"
    target_cargo rustc "$triple" --package milliglow --lib --no-default-features --features "$feature" \
      --target-dir target/thumb -- -D warnings
  done
done
