#!/usr/bin/env bash
# The core and the program share a name; cargo only warns when their pages overwrite each other.
source "$(dirname "${BASH_SOURCE[0]}")/../lib.sh"

code=0
said=$(RUSTDOCFLAGS="-D warnings" cargo doc --workspace --no-deps 2>&1) || code=$?
echo "$said"
if [[ $said == *"filename collision"* ]]; then fail "two packages document to the same path"; fi
exit "$code"
