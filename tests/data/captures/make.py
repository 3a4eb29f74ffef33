"""Makes the captures of this folder with numpy and sox, from published waveforms: make.py, in this folder.

Written from the formulas in the tables of ../, without milliglow's code.
"""

import subprocess
import wave

import numpy as np


def rectangle(hz, rate, count, up_to_hz):
    """A square of duty 0.5 between 0 and 1, its Fourier series up to a frequency."""
    time = np.arange(count) / rate
    orders = np.arange(1, int(up_to_hz / hz) + 1, 2)
    return 0.5 + sum(2 / (np.pi * n) * np.sin(2 * np.pi * n * hz * time + 0.3 * n) for n in orders)


def flickermeter(hz, depth, rate, seconds):
    """Light of IEC TR 61547-1: ripple of 100 Hz times a square, the mean over each sample by 50 instants."""
    fine = (np.arange(int(rate * seconds) * 50) + 0.5) / (rate * 50)
    square = np.sign(np.sin(2 * np.pi * hz * fine))
    light = (1 - 0.11 * np.cos(2 * np.pi * 100 * fine)) * (1 + depth / 2 * square)
    return light.reshape(-1, 50).mean(axis=1)


def write_wav(name, values, rate):
    """PCM of 16 bits, full scale 1."""
    with wave.open(name, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes(np.round(values * 32768).astype("<i2").tobytes())


def write_csv(name, heading, rows):
    """Rows of text below a comment and a heading."""
    with open(name, "w", encoding="ascii") as file:
        file.write("# made by make.py\n" + heading + "\n")
        file.writelines(row + "\n" for row in rows)


def sox(name, bits, encoding, rate, seconds, hz, amplitude):
    """A sine around 0.5."""
    subprocess.run(
        ["sox", "-D", "-r", str(rate), "-n", "-b", str(bits), "-e", encoding, name]
        + ["synth", str(seconds), "sine", str(hz), "vol", str(amplitude), "dcshift", "0.5"],
        check=True,
    )


def write_vcd(name, hz, seconds):
    """A square as the stream of one signal, beside a second one that stays 0."""
    half = round(0.5e9 / hz)
    with open(name, "w", encoding="ascii") as file:
        file.write("$timescale 1 ns $end\n$scope module probe $end\n")
        file.write("$var wire 1 ! red $end\n$var wire 1 \" blue $end\n$upscope $end\n$enddefinitions $end\n")
        file.write("#0\n0!\n0\"\n")
        for edge in range(1, round(seconds * 2 * hz)):
            file.write(f"#{edge * half}\n{edge % 2}!\n")
        file.write(f"#{round(seconds * 1e9)}\n")


def main():
    """All captures."""
    random = np.random.default_rng(1)
    sox("sine_pcm16.wav", 16, "signed-integer", 20000, 2, 100, 0.25)
    sox("sine_pcm24.wav", 24, "signed-integer", 8000, 1.5, 100, 0.25)
    sox("sine_pcm8.wav", 8, "unsigned-integer", 8000, 1.5, 100, 0.25)
    sox("sine_pcm32.wav", 32, "signed-integer", 8000, 1.5, 100, 0.25)
    sox("sine_float.wav", 32, "floating-point", 8000, 1.5, 100, 0.25)
    write_wav("flickermeter_1620.wav", 0.6 * flickermeter(13.5, 0.00778, 2000, 60), 2000)
    write_wav("dark.wav", 0.1 + 0.0005 * random.standard_normal(16000), 8000)
    square = rectangle(200, 5000, 10000, 2400)
    write_csv("square.csv", "time_ms,light", (f"{i / 5:.1f},{v:.6f}" for i, v in enumerate(square)))
    time = np.arange(20000) / 20000
    tones = 1 + 0.2 * np.sin(2 * np.pi * 100 * time) + 0.5 * np.sin(2 * np.pi * 1000 * time)
    write_csv("tones.csv", "volts", (f"{v:.5f}" for v in tones))
    uneven = (np.arange(12000) + random.uniform(-0.2, 0.2, 12000)) / 8000 * 1e6
    light = 1 + 0.3 * np.sin(2 * np.pi * 120 * uneven / 1e6)
    rows = (f"{t:.2f};{v:.5f}".replace(".", ",") for t, v in zip(uneven, light))
    write_csv("uneven.csv", "time (us);light", rows)
    write_vcd("square.vcd", 200, 3)


if __name__ == "__main__":
    main()
