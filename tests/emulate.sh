#!/usr/bin/env bash
# Builds an example luminaire as firmware for a Cortex-M0, runs it in the emulator, and compares with what it says on this machine.
source "$(dirname "${BASH_SOURCE[0]}")/lib.sh"

readonly examples=tests/on-target/examples/Cargo.toml
example=cove_light install=false

usage() {
  cat <<END
Usage: bash tests/emulate.sh [--install] [EXAMPLE]

EXAMPLE is one of $(names); without it cove_light.

  --install  first install what is missing (Debian or Ubuntu; uses sudo when not root)
  --help     show this text
END
}

names() {
  local paths=(tests/on-target/examples/src/bin/*.rs) list
  list=$(printf ', %s' "${paths[@]##*/}")
  list=${list//.rs/}
  echo "${list#, }"
}

refuse() {
  echo "tests/emulate.sh: $1" >&2
  exit 2
}

for option in "$@"; do
  case $option in
    --install) install=true ;;
    --help) usage && exit 0 ;;
    -*) refuse "unknown option '$option'; allowed are --install and --help" ;;
    *) example=$option ;;
  esac
done
[[ -f tests/on-target/examples/src/bin/$example.rs ]] || refuse "unknown example '$example'; allowed are $(names)"
if $install; then bash tests/install.sh emulator || refuse "could not install what is missing (see above)"; fi
have cargo || refuse "cargo is missing: --install installs Debian's, or see https://rustup.rs"
have qemu-system-arm || refuse "qemu-system-arm is missing: --install installs it"
have_target || { have_debian_source && have ld.lld; } ||
  refuse "no Rust library for $target: --install installs Debian's, or: rustup target add $target"

target_cargo build "$target" --manifest-path "$examples" --target-dir target/thumb --profile firmware --bin "$example"
said=$(emulate microbit "target/thumb/$target/firmware/$example")
echo "-- $example on an emulated Cortex-M0"
echo "$said"
here=$(cargo run --quiet --manifest-path "$examples" --target-dir target/examples --bin "$example")
[[ $said == "$here" ]] || fail "on this machine it says $here"
echo "-- the same on this machine"
