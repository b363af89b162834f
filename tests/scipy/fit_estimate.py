#!/usr/bin/env python3
"""`figure estimate` beside scipy.optimize.least_squares and scipy.stats.chi2, on generated readings, to six digits.

The model is written here a second time, from the handbook formulas and not from the program:
thick ring [NSK_E1102] table 15.1, thread and collar friction [SHIG9-T8-15].
Usage: fit_estimate.py WITNESSMARK
"""
import json
import math
import random
import subprocess
import sys
import tempfile

import numpy
from scipy import optimize, stats


def torque_per_mm(unit, friction):
    d, di, width = unit["bore"], unit["raceway"], unit["width"]
    k = d / di
    pressure = 208000 / 2 * (1 / unit["taper"]) / d * (1 - k * k)
    force = pressure * math.pi * d * width * (friction + 0.5 / unit["taper"])
    mean = d - 0.649519 * unit["pitch"]
    lead = unit["pitch"] / (math.pi * mean)
    secant = 1 / math.cos(math.radians(30))
    factor = mean / (2 * d) * (lead + friction * secant) / (1 - friction * lead * secant) + 0.625 * friction
    return force * d / 1000 * factor


def make(dice):
    bore = dice.uniform(40, 240)
    unit = {"bore": bore, "raceway": bore * dice.uniform(1.15, 1.35), "taper": dice.choice([12, 30, 16]),
            "pitch": dice.choice([1.5, 2.0, 3.0]), "width": dice.uniform(20, 90)}
    taken_per_mm = unit["bore"] / unit["raceway"] / unit["taper"]
    low, high = 0.08, 0.15
    torque = [torque_per_mm(unit, f) for f in (low, (low + high) / 2, high)]
    share = (torque[2] - torque[0]) / 2 / torque[1] / math.sqrt(3)
    travel = dice.uniform(0.3, 0.9)
    zero = dice.gauss(0, 2.5)
    before = dice.uniform(0.09, 0.2)
    turn = 360 * travel / unit["pitch"] - zero
    u = {"angle": 2.0, "nut_photo": 1.5, "sleeve_travel": 0.04, "clearance_before": 0.005,
         "clearance_after": 0.006, "nut_torque": 0.05 * torque[1] * travel}
    true = {"angle": turn, "nut_photo": turn, "sleeve_travel": travel - zero * unit["pitch"] / 360,
            "clearance_before": before, "clearance_after": before - taken_per_mm * travel,
            "nut_torque": torque[1] * travel}
    names = [n for n in u if n in ("angle", "clearance_before") or dice.random() < 0.75]
    read = {n: max(0.0, true[n] + dice.gauss(0, 1.5 * u[n])) for n in names}
    return unit, taken_per_mm, torque[1], share, read, u


def with_scipy(unit, taken_per_mm, torque, share, read, u):
    pitch = unit["pitch"]

    def residuals(x):
        s, c0, z, m, f = x
        says = {"angle": 360 * s / pitch - z, "nut_photo": 360 * s / pitch - z,
                "sleeve_travel": s - pitch * z / 360, "clearance_before": c0,
                "clearance_after": c0 - (1 + m) * taken_per_mm * s, "nut_torque": (1 + f) * torque * s}
        rows = [(read[n] - says[n]) / u[n] for n in read]
        return numpy.array(rows + [z / 2.5, m / 0.075, f / share])

    start = [read["angle"] * pitch / 360, read["clearance_before"], 0, 0, 0]
    fit = optimize.least_squares(residuals, start, x_scale="jac", xtol=1e-15, ftol=1e-15, gtol=1e-15)
    s, c0, z, m, f = fit.x
    covariance = numpy.linalg.inv(fit.jac.T @ fit.jac)
    slope = numpy.array([-(1 + m) * taken_per_mm, 1, 0, -taken_per_mm * s, 0])
    chi = float(2 * fit.cost)
    dof = len(read) - 2
    limit = stats.chi2.ppf(0.95, dof) if dof else 0.0
    wide = math.sqrt(chi / dof) if dof and chi > limit else 1.0
    half = stats.norm.ppf(0.975) * wide * math.sqrt(slope @ covariance @ slope)
    left = c0 - (1 + m) * taken_per_mm * s
    return {"travel_mm": s, "clearance_left_mm": left, "low_mm": left - half, "high_mm": left + half,
            "chi_square": chi, "dof": dof, "chi_square_limit": limit}


def with_program(program, unit, read, u):
    units = {"angle": "deg", "nut_photo": "deg", "nut_torque": "Nm"}
    text = lambda name, value: format(value, ".12f") + units.get(name, "mm")
    given = {"unit": {k: v if k == "taper" else format(v, ".12f") + "mm" for k, v in unit.items()},
             "readings": {n: {"value": text(n, read[n]), "u": text(n, u[n])} for n in read}}
    with tempfile.NamedTemporaryFile("w", suffix=".json") as file:
        json.dump(given, file)
        file.flush()
        done = subprocess.run([program, "figure", "estimate", file.name, "--json"], capture_output=True,
                              text=True, timeout=60, check=True)
    return json.loads(done.stdout)


def main():
    dice, wrong, count = random.Random(5), 0, 12
    for number in range(count):
        case = make(dice)
        ours, theirs = with_program(sys.argv[1], case[0], case[4], case[5]), with_scipy(*case)
        for key, value in theirs.items():
            if abs(ours[key] - value) > 1e-6 * max(abs(value), 1e-3):
                print(f"case {number}: {key} is {ours[key]!r}, scipy says {value!r}")
                wrong += 1
    good = wrong == 0
    print(f"{count} sets of readings compared with scipy")
    print(f"test cases: 1 | {int(good)} passed | {int(not good)} failed")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
