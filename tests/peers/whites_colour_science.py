"""Recomputes chromaticity, CCT and Duv of mixtures with colour-science and compares them with milliglow's.

Usage: whites_colour_science.py MIXTURES.json    (as `cargo run --package milliglow-tests --example fifty_mixtures` writes it)

Exits 1 if any figure disagrees, or if there are not fifty mixtures.
"""

import json
import sys

import colour
import numpy as np

COUNT = 50

# Absolute tolerance of each figure.
TOLERANCES = {"x": 1e-6, "y": 1e-6, "cct_k": 0.5, "duv": 2e-5}


def mixed(channels, shares):
    """Tristimulus values of the mixture, by adding those of the channels."""
    values = [
        share * channel["flux_lm"] * colour.xyY_to_XYZ([channel["x"], channel["y"], 1.0])
        for channel, share in zip(channels, shares, strict=True)
    ]
    return np.sum(values, axis=0)


def figures(channels, shares):
    """All that is compared."""
    values = mixed(channels, shares)
    x, y = colour.XYZ_to_xy(values)
    cct_k, duv = colour.temperature.XYZ_to_CCT_Ohno2013(values)
    return {"x": x, "y": y, "cct_k": cct_k, "duv": duv}


def agrees(number, figure, found, expected):
    """Prints one comparison."""
    good = abs(found - expected) <= TOLERANCES[figure]
    print(f"mixture {number:2} {figure:6} {found:13.6f} {expected:13.6f} {'agrees' if good else 'DISAGREES'}")
    return good


def main(path):
    """Compares every mixture of the file; true if all agree."""
    with open(path, encoding="utf-8") as file:
        document = json.load(file)
    print(f"{'':17} {'milliglow':>13} {'colour-science':>14}")
    results = []
    for number, mixture in enumerate(document["mixtures"], 1):
        expected = figures(document["channels"], mixture["shares"])
        for figure, value in expected.items():
            results.append(agrees(number, figure, mixture["found"][figure], value))
    return len(results) == COUNT * len(TOLERANCES) and all(results)


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    sys.exit(0 if main(sys.argv[1]) else 1)
