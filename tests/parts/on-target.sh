#!/usr/bin/env bash
# Runs the suite on an emulated Cortex-M0 and Cortex-M3: its hashes equal this machine's, and so do those that a debugger finds in the RAM of
# a firmware built for hardware. Then proves that the firmwares
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

same_hashes() {
  local triple=$1 machine=$2
  build "$triple" --profile release --bin suite
  emulate "$machine" "target/thumb/$triple/release/suite" >"$out/$machine.txt"
  diff "$out/host.txt" "$out/$machine.txt" || fail "$machine does not give what this machine gives"
  echo "$machine: $(wc -l <"$out/$machine.txt") hashes equal"
}

# on_board TRIPLE MACHINE: without semihosting, as on a board, but that the board is emulated.
on_board() {
  local triple=$1 machine=$2 kernel=$PWD/$out/board-$2
  MILLIGLOW_MEMORY=$PWD/tests/on-target/firmware/emulator.x \
    build "$triple" --profile release --bin suite --no-default-features --features hardware
  cp "target/thumb/$triple/release/suite" "$kernel"
  have gdb-multiarch || { echo "no gdb-multiarch: the firmware for hardware is only built" && return; }
  local board="exec qemu-system-arm -machine $machine -kernel $kernel -S -gdb stdio -display none -serial null -monitor none"
  (cd "$out" && rm -f results.txt && timeout 600 gdb-multiarch -batch -ex "target remote | $board" \
    -x "$OLDPWD/tests/on-target/firmware/results.gdb" "$kernel" </dev/null)
  diff "$out/host.txt" "$out/results.txt" || fail "the RAM of $machine does not hold what this machine gives"
}

# refused REASON OPTIONS: they do not build, and the error says why.
refused() {
  local reason=$1
  shift
  if build "$target" "$@" 2>"$out/refused.txt"; then fail "built with $*"; fi
  grep -q "$reason" "$out/refused.txt" || fail "$(cat "$out/refused.txt")"
}

cargo run --quiet --release --package milliglow-suite >"$out/host.txt"
for run in on_board same_hashes; do
  "$run" thumbv6m-none-eabi microbit
  "$run" thumbv7m-none-eabi lm3s6965evb
done
refused "one of the features" --profile release --no-default-features --lib
refused "exclude each other" --profile release --features hardware --lib
refused MILLIGLOW_MEMORY --profile release --no-default-features --features hardware --lib

echo "-- instructions"
build "$target" --profile release --bin icount
emulate microbit "target/thumb/$target/release/icount" -icount shift=0 |
  cargo run --quiet --release --package milliglow-m0 --bin m0-icount -- "target/thumb/$target/release/icount"

echo "-- an update interrupted after each instruction"
build "$target" --profile release --bin preempted
cargo run --quiet --release --package milliglow-m0 --bin m0-preempt -- "target/thumb/$target/release/preempted"

# The firmwares' panic handler calls what nothing defines, so each that has linked is free of panics.
echo "-- no panic at opt-levels 3, s and z"
for profile in release small smallest; do
  build "$target" --profile "$profile" --bin suite --bin tick --bin luminaire_5 \
    --bin luminaire_5_first_order --bin luminaire_5_plain
done
refused this_firmware_can_panic --profile small --bin panics --features panics

readonly float='__aeabi_(c?[fd]|u?[il]2[fd]|ul2)|__[a-z]*[sd]f[23i]|float'
readonly product='__aeabi_lmul|__mul[dt]i3'
readonly division='__aeabi_(u?idiv|u?ldiv)|__u?(div|mod)[a-z]*[sdt]i[34]|div_rem'

# helpers PROFILE FIRMWARE PATTERN: its symbols that match.
helpers() {
  nm "target/thumb/$target/$1/$2" | grep -E " [Tt] .*($3)" || true
}

echo "-- no float, 64-bit product or division where ticks and control steps run"
for profile in release small smallest; do
  found=$(helpers "$profile" tick "$float|$product|$division")
  [[ -z $found ]] || fail "$profile: $found"
  found=$(helpers "$profile" luminaire_5 "$float")
  [[ -z $found ]] || fail "$profile: $found"
done
# The suite calls what converts to floats and what divides at set-up: the patterns do find such helpers.
for pattern in "$float" "$product" "$division"; do
  [[ -n $(helpers release suite "$pattern") ]] || fail "the suite holds nothing like $pattern"
done
