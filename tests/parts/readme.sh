#!/usr/bin/env bash
# Runs what README.md tells the reader to run, in a copy of the tree.
#
# A block fenced as ```sh holds one command a line; each must exit 0, or N where the line ends
# in "# exits N". Lines of one block and of later ones see the files that earlier ones wrote.
# A block fenced as ```sh norun is left alone: the test command must stand in one.
source "$(dirname "${BASH_SOURCE[0]}")/../lib.sh"

have qemu-system-arm || skip "qemu-system-arm is missing" "apt-get install qemu-system-arm"
have_target || { have_debian_source && have ld.lld; } || skip "no Rust library for $target" "$debian_rust"

readonly copy=target/readme

# Built packages are shared with the tree through a link.
make_copy() {
  rm -rf "$copy" && mkdir -p "$copy"
  tar -c --exclude=./target --exclude=./milliglow-report --exclude=./.git . | tar -x -C "$copy"
  ln -s .. "$copy/target"
}

commands() {
  # shellcheck disable=SC2016 # the backquotes are Markdown's
  sed -n '/^```sh$/,/^```$/p' README.md | grep -Ev '^(```|#|$)'
}

run_line() {
  local line=$1 expected=0 code=0
  if [[ $line =~ '# exits '([0-9]+)$ ]]; then expected=${BASH_REMATCH[1]}; fi
  if [[ $line == *tests/run* ]]; then fail "README.md: mark the block with '$line' as norun"; fi
  echo "\$ $line"
  (cd "$copy" && bash -c "$line") || code=$?
  ((code == expected)) || fail "README.md: '$line' exited $code instead of $expected"
}

lines=$(commands) || fail "README.md holds no command to run"
make_copy
while IFS= read -r line; do run_line "$line" </dev/null; done <<<"$lines"
