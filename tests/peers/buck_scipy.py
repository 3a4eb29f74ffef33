"""Integrates gated buck converters numerically with scipy and compares the charge of each tick with milliglow's.

Usage: buck_scipy.py BUCKS.json    (as `cargo run --package milliglow-tests --example buck_currents` writes it)

Written from Kirchhoff's laws, not from milliglow's code: no closed form, no matrix exponential. Exits 1 if a charge
or their sum disagrees by more than 1e-6 of a full tick's or of the sum, or the full current by more than 0.1 %: its
window here does not end with a cycle.
"""

import json
import sys

import numpy as np
from scipy.integrate import solve_ivp

OF_CHARGE = 1e-6
OF_MEAN = 1e-3


class Buck:
    """State: inductor current, voltage above the string's knee, charge through string, charge from supply."""

    def __init__(self, f):
        self.f = f
        self.knee = f["string_v"] - f["string_ohm"] * f["set_a"]
        self.state = np.zeros(4)
        self.switch, self.trip_left, self.off_left = False, None, np.inf

    def string_current(self, state):
        if self.f["output_f"] > 0:
            return max(state[1], 0.0) / self.f["string_ohm"]
        return state[0]

    def string_voltage(self, state):
        if self.f["output_f"] > 0:
            return self.knee + state[1]
        return self.knee + self.f["string_ohm"] * state[0]

    def slope(self, _, state):
        f, flows = self.f, self.switch or state[0] > 0
        driven = f["supply_v"] if self.switch else -f["diode_v"]
        current = (driven - self.string_voltage(state)) / f["inductance_h"] if flows else 0.0
        led = self.string_current(state)
        voltage = (state[0] - led) / f["output_f"] if f["output_f"] > 0 else 0.0
        return [current, voltage, led, state[0] if self.switch else 0.0]

    def gate(self, on):
        self.switch, self.trip_left = on, None
        self.off_left = 0.0 if on else np.inf

    def advance(self, seconds):
        """To the next event, at most so far; gives the seconds left."""
        rising = self.switch and self.trip_left is None
        if rising and self.state[0] >= self.f["set_a"] * (1 - 1e-12):
            self.trip_left = self.f["delay_s"]
            return seconds
        timer = self.trip_left if self.switch else self.off_left
        span = seconds if timer is None else min(seconds, timer)

        def event(_, state):
            return state[0] - (self.f["set_a"] if rising else 0.0)

        event.terminal, event.direction = True, 1 if rising else -1
        watched = event if rising or (not self.switch and self.state[0] > 0) else None
        result = solve_ivp(self.slope, (0, span), self.state, events=watched, method="DOP853",
                           rtol=1e-9, atol=1e-13, max_step=span / 4)
        self.state = result.y[:, -1]
        passed, happened = result.t[-1], result.status == 1
        if happened and not self.switch:
            self.state[0] = 0.0
        if happened and self.switch:
            self.trip_left = self.f["delay_s"]
        elif timer is not None:
            left = 0.0 if passed == timer else timer - passed
            if self.switch:
                self.trip_left = left
            else:
                self.off_left = left
        self.change_over()
        return 0.0 if passed == seconds else seconds - passed

    def change_over(self):
        if self.switch and self.trip_left == 0.0:
            self.switch, self.trip_left, self.off_left = False, None, self.f["off_time_s"]
        elif not self.switch and self.off_left == 0.0:
            self.switch, self.trip_left = True, None

    def run(self, seconds):
        """Charges through string and from supply."""
        before = self.state.copy()
        while seconds > 0:
            seconds = self.advance(seconds)
        return self.state[2:] - before[2:]


def charges(buck, bits, tick_s):
    """Per tick."""
    circuit, last, result = Buck(buck), False, []
    for bit in bits:
        if bit != last:
            circuit.gate(bit)
            circuit.change_over()
            last = bit
        result.append(circuit.run(tick_s))
    return np.array(result).T


def agrees(name, what, found, expected, scale, tolerance=OF_CHARGE):
    """Prints one comparison, by the worst of its values."""
    worst = np.max(np.abs(np.asarray(found) - expected)) / scale
    good = worst <= tolerance
    print(f"{name:28} {what:24} off by {worst:9.2e} {'agrees' if good else 'DISAGREES'}")
    return good


def full_current(figures):
    """Mean of an unbroken 1 over several hundred cycles, once settled."""
    circuit = Buck(figures)
    circuit.gate(True)
    circuit.change_over()
    settle = 200e-6 + 60 * figures["string_ohm"] * figures["output_f"]
    circuit.run(settle)
    window = 400 * (figures["off_time_s"] + 1e-6)
    return circuit.run(window)[0] / window


def main(path):
    """Compares every buck of the file; true if all agree."""
    with open(path, encoding="utf-8") as file:
        bucks = json.load(file)["bucks"]
    results = []
    for buck in bucks:
        light, drawn = charges(buck["figures"], buck["bits"], buck["tick_s"])
        tick = buck["full_a"] * buck["tick_s"]
        found = buck["found"]
        for what, ours, theirs in (("light", found["light_as"], light), ("drawn", found["drawn_as"], drawn)):
            results.append(agrees(buck["name"], f"{what}, each tick", ours, theirs, tick))
            results.append(agrees(buck["name"], f"{what}, sum", [sum(ours)], theirs.sum(), theirs.sum()))
        mean = full_current(buck["figures"])
        results.append(agrees(buck["name"], "full current", [buck["full_a"]], mean, mean, OF_MEAN))
    return len(results) > 0 and all(results)


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    sys.exit(0 if main(sys.argv[1]) else 1)
