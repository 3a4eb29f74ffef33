# Shared by the parts and by install.sh; sourced, never run.
# shellcheck shell=bash
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

readonly target=thumbv6m-none-eabi

have() { command -v "$1" >/dev/null; }
have_venv() { have python3 && python3 -c 'import ensurepip, venv' 2>/dev/null; }
have_cargo() { cargo "$1" --version >/dev/null 2>&1; }
have_target() { [[ -d $(rustc --print target-libdir --target "$target") ]]; }

# Debian's compiler ships no library for the target, but its source, from which cargo can build it.
have_debian_source() {
  [[ -x /usr/bin/cargo && -x /usr/bin/rustc ]] &&
    [[ -d $(/usr/bin/rustc --print sysroot)/lib/rustlib/src/rust/library/core ]]
}

# skip WHAT_IS_MISSING COMMAND: one line that tests/run repeats at its end.
skip() {
  echo "skipped $(basename "$0" .sh): $1; to enable: $2" >>"${SKIP_NOTES:-/dev/stderr}"
  exit 77
}

fail() {
  echo "$1" >&2
  exit 1
}
