#!/usr/bin/env bash
# Builds the example firmwares for this machine and for a Cortex-M0, and runs both: they say the same. The cove light, made of emitted
# constants, sends to its pins the streams that check runs, word for word.
source "$(dirname "${BASH_SOURCE[0]}")/../lib.sh"
have qemu-system-arm || skip "qemu-system-arm is missing" "apt-get install qemu-system-arm"
have ld.lld || have_target || skip "lld is missing" "$debian_rust"

readonly manifest=tests/on-target/examples/Cargo.toml out=target/examples
mkdir -p "$out"

cargo build --quiet --manifest-path "$manifest" --target-dir "$out"
target_cargo build "$target" --quiet --manifest-path "$manifest" --target-dir target/thumb --profile firmware

for example in cove_light aisle_marker corrected_light marker_on_bus; do
  "$out/debug/$example" >"$out/$example.host.txt"
  emulate microbit "target/thumb/$target/firmware/$example" >"$out/$example.txt"
  [[ -s $out/$example.txt ]] || fail "$example says nothing"
  diff "$out/$example.host.txt" "$out/$example.txt" || fail "$example does not say what it says on this machine"
  echo "$example: $(wc -l <"$out/$example.txt") lines equal"
done

# The marker on its bus and `check` play one log: the same streams, by their hash.
cargo run --quiet --package milliglow-sim -- check host-sim/luminaires/aisle-marker-on-bus.toml --json \
  --report "$out/marker-report" >"$out/marker.json" || fail "the aisle marker does not pass"
checked=$(sed -n 's/.*"stream_hash": "\([0-9a-f]*\)".*/\1/p' "$out/marker.json")
grep -qx "streams $checked" "$out/marker_on_bus.txt" || fail "check and marker_on_bus stream differently"
echo "marker_on_bus: streams $checked, as check has them"

cargo run --quiet --package milliglow-tests --example script_streams host-sim/luminaires/cove-light.toml 4500 >"$out/check.txt"
diff "$out/check.txt" <(grep '^channel ' "$out/cove_light.txt") || fail "the streams of cove_light are not those of check"
echo "cove_light: $(wc -l <"$out/check.txt") streams as check runs them"
[[ $(<README.md) == *"$(<"$out/cove_light.txt")"* ]] || fail "README.md shows other lines of cove_light than $out/cove_light.txt"
