"""Second opinions for formulas that stood on one source, each by another way: three jaws by a linear
program with every balance, whirling by Stodola's iteration (an integral, no elements and no roots),
a lagging axis followed in small steps, the cheapest speed by golden section.

Run: python3 handbook/made-by/twice.py > handbook/made-by/twice.txt
Needs numpy and scipy; the output names their versions.
"""

import math
import sys
from fractions import Fraction

import numpy as np
import scipy
from scipy.optimize import linprog


def show(name, value):
    print(f"{name:<58} {float(value):.10g}")


def grip(radial, moment, length, turn, across_too, stations=13):
    """Least total grip of three jaws that only press, each at stations along its length: the forces
    and the moment balance in the plane of the load; and, where `across_too`, across it as well."""
    along = np.linspace(-length / 2, length / 2, stations)
    angle = [turn + 2 * math.pi * i / 3 for i in range(3)]
    balance = [
        ([math.cos(t) for t in angle for _ in along], radial),
        ([math.sin(t) for t in angle for _ in along], 0),
        ([x * math.cos(t) for t in angle for x in along], moment),
    ]
    if across_too:
        balance.append(([x * math.sin(t) for t in angle for x in along], 0))
    found = linprog(
        np.ones(3 * stations), A_eq=[row for row, _ in balance], b_eq=[sum_ for _, sum_ in balance]
    )
    assert found.status == 0, found.message
    return found.fun


def tipping(radial, moment, length, across_too=True):
    """The worst way of standing. A third of a turn repeats itself, as does its mirror image."""
    turns = np.radians(np.arange(0, 120.01, 0.5))
    return max(grip(radial, moment, length, turn, across_too) for turn in turns)


def summed(values, x, backward=False):
    steps = (values[1:] + values[:-1]) / 2 * np.diff(x)
    if backward:
        return np.concatenate([np.cumsum(steps[::-1])[::-1], [0]])
    return np.concatenate([[0], np.cumsum(steps)])


def stodola(clamp, rings, end, diameter=0.025, modulus=205e9, density=7850):
    """Lowest critical speed in rev/min of a bar fixed at `clamp`, on rings, free at `end`: load with
    the shape, bend by integrating four times, lift the rings back to zero, and again."""
    rings = [at - clamp for at in rings if at <= end]
    marks = [0, *rings, end - clamp]
    parts = [np.linspace(a, b, 6001)[1:] for a, b in zip(marks, marks[1:])]
    x = np.concatenate([[0.0], *parts])
    spots = [int(np.argmin(abs(x - at))) for at in rings]
    # Bent by one newton at a ring: moment (a - x), integrated twice.
    unit = [summed(summed(np.maximum(at - x, 0), x), x) for at in rings]
    shape, before = x**2 * np.prod([x - at for at in rings], axis=0), 0
    for _ in range(500):
        shear = summed(shape, x, backward=True)
        bent = summed(summed(summed(shear, x, backward=True), x), x)
        if rings:
            forces = np.linalg.solve([[u[s] for u in unit] for s in spots], bent[spots])
            bent = bent - sum(f * u for f, u in zip(forces, unit))
        grown = np.dot(bent, shape) / np.dot(shape, shape)
        shape = bent / abs(bent).max()
        if abs(grown - before) < 1e-14 * grown:
            break
        before = grown
    stiff = modulus * diameter**2 / 16 / density
    return math.sqrt(stiff / grown) * 30 / math.pi


def allowed(part):
    """0.7 of it; the bar in front of the jaws is shorter and stiffer in every part shown."""
    behind = 1.2192 - 0.039178 - 0.027178 * (part - 1)
    front = stodola(0, [], 0.039178)
    return 0.7 * min(front, stodola(0.04, [0.42, 0.8], behind))


def lag(lead, rpm, share, step=1e-6):
    """An axis that makes up its lag with a time constant of 60 s / 1800: where its speed comes within
    `share` of the lead, and what is still to go when its command stands still."""
    constant, speed = 60 / 1800, lead * rpm / 60
    place, time, started = 0.0, 0.0, None
    while time < 1.0:
        pace = (speed * time - place) / constant
        if started is None and pace >= (1 - share) * speed:
            started = place
        # The middle of the step stands for it.
        half = place + pace * step / 2
        place += (speed * (time + step / 2) - half) / constant * step
        time += step
    return started, speed * time - place


def cheapest(n, c, change, price, rate, way):
    """Cost of a cut of `way` meters, made least by golden section over the logarithm of the speed."""
    def cost(log):
        speed = math.exp(log)
        minutes = way / speed
        edges = minutes / (c / speed) ** (1 / n)
        return rate * minutes + edges * (rate * change + price)

    low, high, gold = math.log(c / 50), math.log(c), (math.sqrt(5) - 1) / 2
    while high - low > 1e-9:
        a, b = high - gold * (high - low), low + gold * (high - low)
        low, high = (low, b) if cost(a) < cost(b) else (a, high)
    return math.exp((low + high) / 2)


def main():
    print(f"# Python {sys.version.split()[0]}, numpy {np.__version__}, scipy {scipy.__version__}")
    for radial, moment in [(0, 47.4342), (632.4555, 47.4342), (3000, 1), (3000, 55), (2000, 60)]:
        show(f"tipping {radial} N {moment} N m, 30 mm, all balances", tipping(radial, moment, 0.03))
        show("  in the plane of the load only", tipping(radial, moment, 0.03, across_too=False))
    closed = lambda p: max(2 * p, 2 * math.sqrt(3), 3 + p / 2)
    most = max((tipping(p, 1, 1) / closed(p), p) for p in np.arange(0, 3.01, 0.05))
    show("  most that all balances ask beyond the plane, ratio", most[0])
    show("  at a force times length over moment of", most[1])
    for part in (1, 10, 20, 30):
        show(f"whirl allowed, part {part}, rev/min", allowed(part))
    inch = Fraction("25.4")
    tail = (Fraction("1219.2") - Fraction("39.178") - 39 * Fraction("27.178") - 40) / inch
    show("fixed and free, 1 695 500 d/L^2, part 40, 0.7 of it", 7 * 169550 * (25 / inch) / tail**2)
    started, ended = lag(1.5, 800, 0.01)
    show("lag at the start, 1.5 mm, 800 rev/min, to 0.01, mm", started)
    show("lag at the end, mm", ended)
    show("20 threads an inch at 120 in/min, rev/min", Fraction(120) / Fraction(1, 20))
    show("cheapest n 0.1 C 30 change 1 price 2 rate 0.25, m/min", cheapest(0.1, 30, 1, 2, 0.25, 113.1))
    show("cheapest n 0.16 C 76 change 1 price 2 rate 0.25, m/min", cheapest(0.16, 76, 1, 2, 0.25, 113.1))
    show("cheapest n 0.25 C 500 change 1 price 4 rate 1.2, m/min", cheapest(0.25, 500, 1, 4, 1.2, 200))


main()
