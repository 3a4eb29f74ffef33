#!/usr/bin/env bash
# Links the C library into a C program: on this machine under the sanitizers, and as firmware on an emulated Cortex-M0.
# Both say what the core says in Rust, and send the streams of two luminaires, compiled from what emit writes, that check runs. Then looks at what the library exports.
source "$(dirname "${BASH_SOURCE[0]}")/../lib.sh"
have cc || skip "a C compiler is missing" "apt-get install gcc libc6-dev"
have arm-none-eabi-gcc || skip "arm-none-eabi-gcc is missing" "apt-get install gcc-arm-none-eabi"
have qemu-system-arm || skip "qemu-system-arm is missing" "apt-get install qemu-system-arm"

readonly out=target/ffi c=core/ffi/c
readonly strict=(-std=c11 -Wall -Wextra -Werror -Icore/ffi/include -I"$c" -I"$out/emitted")
mkdir -p "$out"

# same FILE WHO: what it said is what the core says.
same() {
  diff "$out/expected.txt" "$1" || fail "$2 does not say what the core says"
  echo "$2: $(wc -l <"$1") lines equal"
}

# exports ARCHIVE: symbols that a program sees; the compiler's own helpers are weak or hidden.
exports() {
  readelf --symbols --wide "$1" 2>/dev/null |
    awk '$5 == "GLOBAL" && $6 == "DEFAULT" && $7 != "UND" { print $8 }' | sort -u
}

echo "-- the header in C++ and alone"
for language in c c++; do
  if have "${language/c++/g++}" || [[ $language == c ]]; then
    echo '#include "milliglow.h"' | cc -x "$language" -Icore/ffi/include -Wall -Wextra -Werror -fsyntax-only -
  fi
done

# luminaire NAME CONTROL_STEPS: its constants in C, and what check makes of that much of its script.
luminaire() {
  cargo run --quiet -- emit --language c --output "$out/emitted" --quiet "host-sim/luminaires/$1.toml"
  cargo run --quiet --package milliglow-tests --example script_streams "host-sim/luminaires/$1.toml" "$2"
}

cargo run --quiet --package milliglow-ffi --example expected >"$out/expected.txt"
{ luminaire cove-light 4500 && luminaire aisle-marker 3500
  cargo run --quiet --package milliglow-tests --example flux_shares host-sim/luminaires/cove-light.toml; } >>"$out/expected.txt"
readonly sources=("$c/script.c" "$c/flux.c" "$c/emitted.c" "$out/emitted/cove_light.c" "$out/emitted/aisle_marker.c")

echo "-- this machine, with sanitizers"
cargo build --quiet --package milliglow-ffi --lib
cc "${strict[@]}" -g -O1 -fsanitize=address,undefined -fno-sanitize-recover=all \
  "$c/host.c" "${sources[@]}" target/debug/libmilliglow_ffi.a -lpthread -ldl -lm -o "$out/host"
"$out/host" >"$out/host.txt"
same "$out/host.txt" "this machine"

echo "-- a Cortex-M0, without a standard library on either side"
target_cargo rustc "$target" --quiet --package milliglow-ffi --lib --crate-type staticlib --target-dir target/thumb \
  --profile firmware --no-default-features --features panic-handler
readonly archive=target/thumb/$target/firmware/libmilliglow_ffi.a
arm-none-eabi-gcc "${strict[@]}" -mcpu=cortex-m0 -mthumb -O2 -ffreestanding -nostartfiles -nostdlib \
  -Wl,--gc-sections,-z,noexecstack -T "$c/firmware.ld" "$c/firmware.c" "${sources[@]}" "$archive" -lgcc -o "$out/firmware.elf"
arm-none-eabi-size "$out/firmware.elf"
emulate microbit "$out/firmware.elf" >"$out/firmware.txt"
same "$out/firmware.txt" "a Cortex-M0"

echo "-- the snippets of its README"
readonly snippets=$PWD/$out/snippets
snippet() { sed -n "/^\`\`\`$1\$/,/^\`\`\`\$/p" core/ffi/README.md | sed '1d;$d'; }

# The commands of the snippets, with a library for the target from wherever this machine has it.
rm -rf "$snippets" && mkdir -p "$snippets/bin"
cp "$c/least.c" "$snippets/main.c" && cp "$c/firmware.ld" "$snippets"
cat >"$snippets/bin/cargo" <<END
#!/usr/bin/env bash
PATH=\${PATH#*:}
source "$PWD/tests/lib.sh"
cd core/ffi && target_cargo rustc "$target" --target-dir "$PWD/target/thumb" "\${@:2}"
END
chmod +x "$snippets/bin/cargo"
snippet make | sed "s|path/to/milliglow|$PWD|; s|/target/thumb|/target/thumb/thumb|" >"$snippets/Makefile"
if have make; then
  PATH=$snippets/bin:$PATH make --quiet -C "$snippets" firmware.elf
  arm-none-eabi-nm "$snippets/firmware.elf" | grep -q milliglow_version || fail "the Makefile links no library"
fi
if have cmake; then
  { printf 'cmake_minimum_required(VERSION 3.20)\nproject(try C)\nadd_executable(firmware main.c)\n'
    snippet cmake | sed "s|path/to/milliglow|$PWD|; s|/target/thumb|/target/thumb/thumb|"
    printf 'target_link_options(firmware PRIVATE -T %s -nostdlib)\n' "$snippets/firmware.ld"; } >"$snippets/CMakeLists.txt"
  PATH=$snippets/bin:$PATH cmake -S "$snippets" -B "$snippets/cmake" -DCMAKE_SYSTEM_NAME=Generic -DCMAKE_SYSTEM_PROCESSOR=arm \
    -DCMAKE_C_COMPILER=arm-none-eabi-gcc -DCMAKE_TRY_COMPILE_TARGET_TYPE=STATIC_LIBRARY -DCMAKE_C_FLAGS="-mcpu=cortex-m0 -mthumb" >"$out/cmake.txt"
  PATH=$snippets/bin:$PATH cmake --build "$snippets/cmake" >>"$out/cmake.txt" || fail "$(cat "$out/cmake.txt")"
  arm-none-eabi-nm "$snippets/cmake/firmware" | grep -q milliglow_version || fail "CMake links no library"
fi

echo "-- exported symbols"
foreign=$(exports "$archive" | grep -v '^milliglow_' || true)
[[ -z $foreign ]] || fail "the library exports $foreign"
declared=$(grep -oE '\bmilliglow_[a-z0-9_]+\(' core/ffi/include/milliglow.h | tr -d '(' | sort -u)
diff <(echo "$declared") <(exports "$archive") || fail "the header declares other functions than the library exports"
echo "$(wc -l <<<"$declared") functions"
