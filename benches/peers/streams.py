"""Streams by general-purpose Python libraries: how fast, and with which bits.

Called with a folder: writes the first bits of each stream there, the earliest in the most significant bit of the first byte, and prints
one JSON document: versions, and a row a stream with gigabits a second (the best of several runs).
"""

import json
import platform
import sys
import time
import warnings
from pathlib import Path

import numba
import numpy as np

DENSITY = 0x10D29FF0  # about 6.6 %; the last 16 bits are left out where a second order takes 16
CHARGE = 0x9E3779B9
BITS = 1 << 20
STEP = 3008  # ticks between two changes of density, as a control step at 3 MHz and 1 kHz has
CHANNELS = 1024


def fade():
    """Densities of the control steps of a fade that starts over."""
    density = 0xF0000000
    while True:
        yield density
        density = density * 65_000 >> 16
        if density < 4_294_967:
            density = 0xF0000000


def numpy_words(charge, density, ticks):
    """Every tick at once: its charge is a product, and a one is where it has just turned over."""
    charges = np.arange(1, ticks + 1, dtype=np.uint32)
    charges *= np.uint32(density)
    charges += np.uint32(charge)
    return np.packbits(charges < np.uint32(density))


def numpy_constant():
    return numpy_words(CHARGE, DENSITY, BITS)


def numpy_fade(steps=BITS // STEP):
    charge, words = CHARGE, []
    for density, _ in zip(fade(), range(steps)):
        words.append(numpy_words(charge, density, STEP))
        charge = (charge + STEP * density) & 0xFFFFFFFF
    return np.concatenate(words)


def numpy_second_order(ticks):
    """Many channels side by side, a tick at a time."""
    density = np.full(CHANNELS, DENSITY >> 16, dtype=np.int32)
    charge = np.full(CHANNELS, 0, dtype=np.int32)
    total = np.zeros(CHANNELS, dtype=np.int32)
    bits = np.empty((ticks, CHANNELS), dtype=np.bool_)
    for tick in range(ticks):
        ones = density + charge + total >= 1 << 15
        charge += density - (ones.astype(np.int32) << 16)
        total += charge
        bits[tick] = ones
    return np.packbits(bits[:, 0])


@numba.njit
def numba_first(charge, density, words):
    for i in range(len(words)):
        word = np.uint32(0)
        for _ in range(32):
            total = np.uint32(charge + density)
            word = np.uint32((word << np.uint32(1)) | np.uint32(total < density))
            charge = total
        words[i] = word
    return charge


@numba.njit
def numba_second(density, words):
    charge, total = np.int32(0), np.int32(0)
    for i in range(len(words)):
        word = np.uint32(0)
        for _ in range(32):
            one = density + charge + total >= 32_768
            charge += density - 65_536 if one else density
            total += charge
            word = np.uint32((word << np.uint32(1)) | np.uint32(one))
        words[i] = word


def numba_constant():
    words = np.empty(BITS // 32, dtype=np.uint32)
    numba_first(np.uint32(CHARGE), np.uint32(DENSITY), words)
    return words.astype(">u4").view(np.uint8)


def numba_fade():
    steps = BITS // STEP
    words = np.empty(steps * STEP // 32, dtype=np.uint32)
    charge = np.uint32(CHARGE)
    for step, density in zip(range(steps), fade()):
        part = words[step * STEP // 32 : (step + 1) * STEP // 32]
        charge = np.uint32(numba_first(charge, np.uint32(density), part))
    return words.astype(">u4").view(np.uint8)


def numba_second_order():
    words = np.empty(BITS // 32, dtype=np.uint32)
    numba_second(np.int64(DENSITY >> 16), words)
    return words.astype(">u4").view(np.uint8)


def toolbox(order, ticks):
    """The modulator toolbox, on its own arithmetic: a design of this order, one bit."""
    import deltasigma

    ntf = deltasigma.synthesizeNTF(order, 64, 0)
    levels = np.full((1, ticks), 2 * DENSITY / 2**32 - 1)
    bits = deltasigma.simulateDSM(levels, ntf)[0][0]
    return np.packbits(bits > 0)


def best(run, bits):
    """Gigabits a second of the best of several runs, for half a second or three runs at least, and what a run gave."""
    run()
    shortest, begin, turns = float("inf"), time.perf_counter(), 0
    while turns < 3 or time.perf_counter() - begin < 0.5:
        start = time.perf_counter()
        words = run()
        shortest = min(shortest, time.perf_counter() - start)
        turns += 1
    return bits / shortest / 1e9, words


def main(folder):
    second_ticks = 4096
    runs = [
        ("numpy", "constant", numpy_constant, BITS),
        ("numba", "constant", numba_constant, BITS),
        ("numpy", "fade", numpy_fade, BITS // STEP * STEP),
        ("numba", "fade", numba_fade, BITS // STEP * STEP),
        ("numpy", "second_order", lambda: numpy_second_order(second_ticks), second_ticks * CHANNELS),
        ("numba", "second_order", numba_second_order, BITS),
        ("deltasigma", "constant", lambda: toolbox(1, 1 << 14), 1 << 14),
        ("deltasigma", "second_order", lambda: toolbox(2, 1 << 14), 1 << 14),
    ]
    rows = []
    for name, case, run, bits in runs:
        try:
            speed, words = best(run, bits)
        except Exception as error:  # a peer that does not run is a row that says why
            rows.append({"name": name, "case": case, "reason": f"{type(error).__name__}: {error}"})
            continue
        (folder / f"{name}-{case}.bits").write_bytes(words.tobytes())
        rows.append({"name": name, "case": case, "gbit_s": speed})
    versions = {"Python": platform.python_version(), "numpy": np.__version__, "numba": numba.__version__}
    json.dump({"versions": versions, "rows": rows}, sys.stdout)


if __name__ == "__main__":
    warnings.simplefilter("ignore")
    main(Path(sys.argv[1]))
