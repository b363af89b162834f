#!/usr/bin/env python3
"""`figure run-in` beside scipy.optimize.curve_fit, on generated warmings, to six digits.
Usage: run_in_level.py WITNESSMARK
"""
import json
import math
import random
import subprocess
import sys
import tempfile

import numpy
from scipy import optimize


def curve(t, level, a, tau):
    return level + a * numpy.exp(-t / tau)


def make(dice):
    level, tau, every = dice.uniform(38, 60), dice.uniform(10, 60), dice.choice([1.0, 2.0, 5.0])
    minutes = numpy.arange(0, 4 * tau, every)
    noise = numpy.array([dice.gauss(0, 0.15) for _ in minutes])
    return minutes, numpy.round(curve(minutes, level, 20 - level, tau) + noise, 3)


def two_parts(t, level, a, tau, a2, tau2):
    return level + a * numpy.exp(-t / tau) + a2 * numpy.exp(-t / tau2)


def make_two(dice):
    """A bearing that warms fast in a housing that warms slowly, seen for more than one slow time constant."""
    tau, tau2, every = dice.uniform(8, 15), dice.uniform(90, 160), dice.choice([1.0, 2.0])
    a, a2 = -dice.uniform(12, 20), -dice.uniform(8, 14)
    minutes = numpy.arange(0, 3 * tau2, every)
    noise = numpy.array([dice.gauss(0, 0.1) for _ in minutes])
    return minutes, numpy.round(two_parts(minutes, 20 - a - a2, a, tau, a2, tau2) + noise, 3)


def two_with_scipy(minutes, celsius):
    start = (celsius[-1] + 1, -15, 12, -10, 120)
    best, covariance = optimize.curve_fit(two_parts, minutes, celsius, p0=start, xtol=1e-14, ftol=1e-14, gtol=1e-14,
                                          maxfev=100000)
    level, a, tau, a2, tau2 = best
    after = optimize.brentq(lambda t: abs(two_parts(t, *best) - level) - 2, 0, 20 * tau2)
    return {"level_c": level, "level_after_min": after, "rise_k": level - 20,
            "expanded_u_level_k": 2 * math.sqrt(covariance[0, 0])}


def with_program(program, minutes, celsius):
    with tempfile.NamedTemporaryFile("w", suffix=".csv") as file:
        file.write("minutes,temperature_c,ambient_c\n")
        for t, c in zip(minutes, celsius):
            file.write(f"{t:.1f},{c:.3f},20\n")
        file.flush()
        done = subprocess.run([program, "figure", "run-in", file.name, "--json"], capture_output=True, text=True,
                              timeout=60, check=True)
    return json.loads(done.stdout)


def with_scipy(minutes, celsius):
    start = (celsius[-1], celsius[0] - celsius[-1], minutes[-1] / 4)
    best, covariance = optimize.curve_fit(curve, minutes, celsius, p0=start, xtol=1e-14, ftol=1e-14, gtol=1e-14)
    level, a, tau = best
    return {"level_c": level, "level_after_min": tau * math.log(abs(a) / 2), "rise_k": level - 20,
            "expanded_u_level_k": 2 * math.sqrt(covariance[0, 0])}


def main():
    dice, wrong, count = random.Random(11), 0, 24
    for number in range(count):
        two = number % 2 == 1
        minutes, celsius = make_two(dice) if two else make(dice)
        ours = with_program(sys.argv[1], minutes, celsius)
        theirs = two_with_scipy(minutes, celsius) if two else with_scipy(minutes, celsius)
        if ours["model"] != ("two exponentials" if two else "one exponential"):
            print(f"warming {number}: model is {ours['model']}")
            wrong += 1
            continue
        for key, value in theirs.items():
            # The doubt of the level comes from slopes: curve_fit takes them by small differences.
            if abs(ours[key] - value) > (1e-5 if key.startswith("expanded") else 1e-6) * abs(value):
                print(f"warming {number}: {key} is {ours[key]!r}, scipy says {value!r}")
                wrong += 1
    good = wrong == 0
    print(f"{count} warmings compared with scipy")
    print(f"test cases: 1 | {int(good)} passed | {int(not good)} failed")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
