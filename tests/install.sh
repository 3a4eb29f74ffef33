#!/usr/bin/env bash
# Installs what the parts need and the machine lacks. Rust itself is left to its owner. `install.sh emulator` installs just what
# `emulate.sh` needs, Debian's Rust included where there is none.
source "$(dirname "${BASH_SOURCE[0]}")/lib.sh"

as_root() {
  if (($(id -u))); then sudo "$@"; else "$@"; fi
}

apt_install() {
  have apt-get || fail "no apt-get on this machine; install by hand: $*"
  as_root apt-get update
  as_root env DEBIAN_FRONTEND=noninteractive apt-get install --yes --no-install-recommends "$@"
}

# rustup may be absent or offline; Debian's packages then do as well.
rustup_or_apt() {
  local request=$1 packages
  read -ra packages <<<"$2"
  # shellcheck disable=SC2086 # the request is several words
  { have rustup && rustup $request; } || apt_install "${packages[@]}"
}

# Rust's library for the target: rustup's, or Debian's source, which needs lld.
if [[ ${1:-} == emulator ]]; then
  packages=()
  have qemu-system-arm || packages+=(qemu-system-arm)
  have cc || packages+=(gcc libc6-dev)
  if ! have cargo || ! { have_target || { have rustup && rustup target add "$target"; }; }; then
    have_debian_source || packages+=(rustc-web cargo-web rust-web-src)
    have ld.lld || packages+=(lld)
  fi
  if ((${#packages[@]})); then apt_install "${packages[@]}"; fi
  exit
fi

packages=()
have cc || packages+=(gcc libc6-dev)
have arm-none-eabi-gcc || packages+=(gcc-arm-none-eabi)
have gdb-multiarch || packages+=(gdb-multiarch)
have jq || packages+=(jq)
have ld.lld || packages+=(lld)
have make || packages+=(make)
have cmake || packages+=(cmake)
have nm || packages+=(binutils)
have qemu-system-arm || packages+=(qemu-system-arm)
have shellcheck || packages+=(shellcheck)
have valgrind || packages+=(valgrind)
have_venv || packages+=(python3-venv)
if ((${#packages[@]})); then apt_install "${packages[@]}"; fi

have_cargo fmt || rustup_or_apt "component add rustfmt" "rustfmt-web"
have_cargo clippy || rustup_or_apt "component add clippy" "rust-web-clippy"
# The ledger wants one compiler for all; where there is none from Debian, rustup's targets do for the other parts.
have_debian_source || { have apt-get && apt_install rustc-web cargo-web rust-web-src; } ||
  rustup target add thumbv6m-none-eabi thumbv7m-none-eabi
