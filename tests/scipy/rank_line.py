#!/usr/bin/env python3
"""The line through median ranks of `figure weibull` beside scipy.stats, on generated lives, to six digits.
Usage: rank_line.py WITNESSMARK
"""
import json
import math
import random
import subprocess
import sys
import tempfile

from scipy import stats


def make(dice):
    shape, scale, end = dice.uniform(0.6, 5), dice.uniform(500, 50000), dice.uniform(0.6, 2)
    lives = []
    for _ in range(dice.randint(8, 60)):
        time, stop = scale * (-math.log(dice.random())) ** (1 / shape), scale * end * dice.uniform(0.5, 1)
        lives.append((round(min(time, stop), 3) + 0.001, int(time <= stop)))
    return sorted(lives)


def with_program(program, lives):
    with tempfile.NamedTemporaryFile("w", suffix=".csv") as file:
        file.write("time_h,event\n" + "".join(f"{t:.3f},{e}\n" for t, e in lives))
        file.flush()
        done = subprocess.run([program, "figure", "weibull", file.name, "--json"], capture_output=True, text=True,
                              timeout=60, check=True)
    return json.loads(done.stdout)


def with_scipy(lives):
    n, order, x, y = len(lives), 0.0, [], []
    for place, (time, event) in enumerate(lives):
        if event:
            order += (n + 1 - order) / (1 + n - place)
            rank = stats.beta.ppf(0.5, order, n - order + 1)
            x.append(math.log(time))
            y.append(math.log(-math.log(1 - rank)))
    line = stats.linregress(y, x)  # times on ranks
    return {"rank_shape": 1 / line.slope, "rank_scale_h": math.exp(line.intercept), "rank_r_squared": line.rvalue ** 2}


def main():
    dice, wrong, count = random.Random(3), 0, 12
    for number in range(count):
        lives = make(dice)
        ours, theirs = with_program(sys.argv[1], lives), with_scipy(lives)
        for key, value in theirs.items():
            if abs(ours[key] - value) > 1e-6 * abs(value):
                print(f"lives {number}: {key} is {ours[key]!r}, scipy says {value!r}")
                wrong += 1
    good = wrong == 0
    print(f"{count} sets of lives compared with scipy")
    print(f"test cases: 1 | {int(good)} passed | {int(not good)} failed")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
