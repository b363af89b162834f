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
    dice, wrong, count = random.Random(11), 0, 12
    for number in range(count):
        minutes, celsius = make(dice)
        ours, theirs = with_program(sys.argv[1], minutes, celsius), with_scipy(minutes, celsius)
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
