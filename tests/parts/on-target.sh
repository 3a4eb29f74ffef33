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

echo "-- an update interrupted after each instruction"
build "$target" --profile release --bin preempted
cargo run --quiet --release --package milliglow-m0 --bin m0-preempt -- "target/thumb/$target/release/preempted"

# The firmwares' panic handler calls what nothing defines, so each that has linked is free of panics.
echo "-- no panic at opt-levels 3, s and z"
for profile in release small smallest; do
  build "$target" --profile "$profile" --bin suite --bin tick --bin luminaire_5 \
    --bin luminaire_5_first_order --bin luminaire_5_plain
done
if build "$target" --profile small --bin panics --features panics 2>"$out/panics.txt"; then
  fail "a firmware that can panic has linked"
fi
grep -q this_firmware_can_panic "$out/panics.txt" || fail "$(cat "$out/panics.txt")"

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
