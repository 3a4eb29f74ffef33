# Shared by the parts and by install.sh; sourced, never run.
# shellcheck shell=bash
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

readonly target=thumbv6m-none-eabi

have() { command -v "$1" >/dev/null; }
have_venv() { have python3 && python3 -c 'import ensurepip, venv' 2>/dev/null; }
have_cargo() { cargo "$1" --version >/dev/null 2>&1; }
have_target() { [[ -d $(rustc --print target-libdir --target "${1:-$target}") ]]; }

# Debian's compiler ships no library for the target, but its source, from which cargo can build it.
have_debian_source() {
  [[ -x /usr/bin/cargo && -x /usr/bin/rustc ]] &&
    [[ -d $(/usr/bin/rustc --print sysroot)/lib/rustlib/src/rust/library/core ]]
}
readonly debian_rust="apt-get install rustc-web cargo-web rust-web-src lld"

# debian_cargo COMMAND TARGET ARGUMENTS. It brings no linker for the target either.
debian_cargo() {
  local command=$1 triple=$2
  shift 2
  RUSTC=/usr/bin/rustc RUSTC_BOOTSTRAP=1 /usr/bin/cargo "$command" -Zbuild-std=core \
    --target "$triple" --config "target.$triple.linker='ld.lld'" "$@"
}

# target_cargo COMMAND TARGET ARGUMENTS: for a microcontroller, with rustup's library or Debian's source.
target_cargo() {
  local command=$1 triple=$2
  shift 2
  if have_target "$triple"; then
    cargo "$command" --target "$triple" "$@"
  elif have_debian_source; then
    debian_cargo "$command" "$triple" "$@"
  else
    skip "no Rust library for $triple" "rustup target add $triple (or, on Debian: $debian_rust)"
  fi
}

# emulate MACHINE FIRMWARE OPTIONS: what the firmware says by semihosting.
emulate() {
  local machine=$1 kernel=$2
  shift 2
  timeout 600 qemu-system-arm -machine "$machine" -kernel "$kernel" -nographic -monitor none -serial null \
    -chardev stdio,id=said -semihosting-config enable=on,target=native,chardev=said "$@" </dev/null
}

export firmware=tests/on-target/firmware/Cargo.toml

# skip WHAT_IS_MISSING COMMAND: one line that tests/run repeats at its end.
skip() {
  echo "skipped $(basename "$0" .sh): $1; to enable: $2" >>"${SKIP_NOTES:-/dev/stderr}"
  exit 77
}

fail() {
  echo "$1" >&2
  exit 1
}
