"""Recomputes dominant line, SVM and PstLM of waveforms with numpy and scipy and compares them with milliglow's.

Usage: flicker_scipy.py WAVEFORMS.json    (as `cargo run --package milliglow-tests --example ten_waveforms` writes it)

Written from the published formulas, not from milliglow's code. Exits 1 if any figure disagrees.
"""

import json
import sys

import numpy as np
from scipy import fft, signal

# Relative and absolute tolerance of each figure. The peer interpolates no peaks: its bins are 0.02 Hz apart.
TOLERANCES = {
    "dominant_frequency_hz": (0.0, 0.02),
    "dominant_amplitude": (0.002, 0.0),
    "svm": (0.003, 0.001),
    "pst_lm": (0.003, 0.0005),
}


def amplitudes(light, rate):
    """Frequencies in Hz and amplitudes over the mean: Hann window, coherent gain corrected, sixteen-fold padding."""
    window = signal.windows.hann(len(light), sym=False)
    mean = np.average(light, weights=window)
    padded = 16 * len(light)
    bins = fft.rfft((light / mean - 1) * window, padded)
    return fft.rfftfreq(padded, 1 / rate), 2 * np.abs(bins) / window.sum()


def lines(light, rate):
    """Peaks at least 1 Hz apart and stronger than a thousandth of the strongest."""
    frequency, amplitude = amplitudes(light, rate)
    apart = int(np.ceil(1 / frequency[1]))
    peaks, _ = signal.find_peaks(amplitude, height=1e-3 * amplitude.max(), distance=apart)
    return frequency[peaks], amplitude[peaks]


def svm(frequency, amplitude):
    """IEC TR 63158: exponent 3.7, logistic threshold, up to 2000 Hz."""
    threshold = 1 / (1 + np.exp(-0.00518 * (frequency - 306.6))) + 20 * np.exp(-frequency / 10)
    seen = (amplitude / threshold)[frequency <= 2000]
    return np.sum(seen**3.7) ** (1 / 3.7)


def pinst(light, rate):
    """IEC TR 61547-1: band-pass, weighting of equation (A.5), square, smoothing, scale."""
    value = light / light.mean() - 1
    value = signal.sosfilt(signal.butter(1, 0.05, "highpass", fs=rate, output="sos"), value)
    value = signal.sosfilt(signal.butter(6, 35, "lowpass", fs=rate, output="sos"), value)
    analogue = signal.tf2zpk([0.041661, 44.758, 2715.6, 29839, 0], [1, 196.32, 11781, 534820, 3505380])
    value = signal.sosfilt(signal.zpk2sos(*signal.bilinear_zpk(*analogue, rate)), value)
    smoothing = signal.bilinear([1], [0.3, 1], rate)
    return 1.101603155420234e6 * signal.lfilter(*smoothing, value**2)


def pst_lm(light, rate):
    """Percentiles of Pinst after 20 s of settling, smoothed and weighted."""
    settled = pinst(light, rate)[int(20 * rate):]

    def exceeded(*percents):
        return np.mean(np.percentile(settled, [100 - percent for percent in percents]))

    return np.sqrt(
        0.0314 * exceeded(0.1)
        + 0.0525 * exceeded(0.7, 1, 1.5)
        + 0.0657 * exceeded(2.2, 3, 4)
        + 0.28 * exceeded(6, 8, 10, 13, 17)
        + 0.08 * exceeded(30, 50, 80)
    )


def figures(light, rate, count_for_lines):
    """All that is compared."""
    frequency, amplitude = lines(light[:count_for_lines], rate)
    strongest = np.argmax(amplitude)
    return {
        "dominant_frequency_hz": frequency[strongest],
        "dominant_amplitude": amplitude[strongest],
        "svm": svm(frequency, amplitude),
        "pst_lm": pst_lm(light, rate),
    }


def agrees(name, figure, found, expected):
    """Prints one comparison."""
    relative, absolute = TOLERANCES[figure]
    good = abs(found - expected) <= relative * abs(expected) + absolute
    print(f"{name:24} {figure:22} {found:12.6f} {expected:12.6f} {'agrees' if good else 'DISAGREES'}")
    return good


def main(path):
    """Compares every waveform of the file; true if all agree."""
    with open(path, encoding="utf-8") as file:
        document = json.load(file)
    print(f"{'waveform':24} {'figure':22} {'milliglow':>12} {'scipy':>12}")
    results = []
    for waveform in document["waveforms"]:
        light = np.array(waveform["values"])
        expected = figures(light, document["rate_hz"], document["count_for_lines"])
        for figure, value in expected.items():
            results.append(agrees(waveform["name"], figure, waveform["found"][figure], value))
    return len(results) > 0 and all(results)


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    sys.exit(0 if main(sys.argv[1]) else 1)
