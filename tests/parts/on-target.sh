#!/usr/bin/env bash
# Runs the suite on an emulated Cortex-M0 and Cortex-M3: its hashes equal this machine's. Then proves that the firmwares
# hold no panic, no float and, on the ways of ticks and control steps, no division and no 64-bit product.
source "$(dirname "${BASH_SOURCE[0]}")/../lib.sh"
have qemu-system-arm || skip "qemu-system-arm is missing" "apt-get install qemu-system-arm"
have ld.lld || have_target || skip "lld is missing" "$debian_rust"

readonly out=target/on-target
mkdir -p "$out"

build() {
  local triple=$1
  shift
  target_cargo build "$triple" --manifest-path "$firmware" --target-dir target/thumb "$@"
}

# emulate MACHINE FIRMWARE OPTIONS: what the firmware says.
emulate() {
  local machine=$1 kernel=$2
  shift 2
  timeout 600 qemu-system-arm -machine "$machine" -kernel "$kernel" -nographic -monitor none -serial null \
    -chardev stdio,id=said -semihosting-config enable=on,target=native,chardev=said "$@" </dev/null
}

same_hashes() {
  local triple=$1 machine=$2
  build "$triple" --profile release --bin suite
  emulate "$machine" "target/thumb/$triple/release/suite" >"$out/$machine.txt"
  diff "$out/host.txt" "$out/$machine.txt" || fail "$machine does not give what this machine gives"
  echo "$machine: $(wc -l <"$out/$machine.txt") hashes equal"
}

cargo run --quiet --release --package milliglow-suite >"$out/host.txt"
same_hashes thumbv6m-none-eabi microbit
same_hashes thumbv7m-none-eabi lm3s6965evb

echo "-- instructions"
build "$target" --profile release --bin icount
emulate microbit "target/thumb/$target/release/icount" -icount shift=0 |
  cargo run --quiet --release --package milliglow-m0 --bin m0-icount -- "target/thumb/$target/release/icount"
