"""Second opinions for formulas that had one source only, each by a way of its own: exact fractions,
a lathe or saw followed step by step, areas by corners, volumes by slices, a nose by its points,
roots by halving. Nothing but Python itself.

Run: python3 handbook/made-by/again.py > handbook/made-by/again.txt
"""

import math
import sys
from fractions import Fraction
from statistics import NormalDist


def show(name, value):
    print(f"{name:<58} {float(value):.10g}")


def bar():
    """The shop's 48 in bar: 44 parts at 1.07 in, clearance and grip 0.92 in together."""
    inch = Fraction
    finished, blade, face = inch("0.955"), inch("0.1"), inch("0.015")
    clearance, grip = inch("0.5"), inch("0.42")
    pitch = finished + blade + face
    stick_out = pitch + clearance
    show("bar pitch in", pitch)
    show("bar stick-out in", stick_out)
    # The bar is drawn part by part until the grip is used up.
    length, parts = stick_out + grip, 1
    while parts < 44:
        length, parts = length + pitch, parts + 1
    show("bar shortest for 44 parts in", length)
    show("bar longest before 40 in of spindle in", stick_out + 40)
    show("bar advance of two parts in", 2 * pitch)
    # An order of 250 made bar by bar.
    left, bars = 250, 0
    while left > 0:
        last, bars = min(46, left), bars + 1
        left -= last
    show("bar blanks for 250 at 46", bars)
    show("bar parts in the last", last)
    # A stock bar sawn until no blank is left.
    stock, blanks = inch(144) - inch("0.25"), 0
    while stock >= 36:
        stock, blanks = stock - 36 - inch("0.08"), blanks + 1
    show("bar blanks from 144 in", blanks)


def motion():
    turns, way = 0, Fraction(0)
    while way < Fraction("37.08"):
        way, turns = way + Fraction("0.18"), turns + 1
    show("motion 37.08 mm at 0.18 and 950 rev/min, s", Fraction(turns * 60, 950))
    speed, time, step = Fraction(0), Fraction(0), Fraction(1, 1000)
    while speed < 2800:
        speed, time = speed + Fraction(4500) / Fraction("3.2") * step, time + step
    show("motion run-up to 2800 of 4500 in 3.2 s, s", time)


def nose():
    points = [2 * math.pi * i / 1_000_000 for i in range(1_000_000)]

    def short(radius, slope):
        """How far the nose stays off the line of its imaginary tip, at right angles to it."""
        a, b = math.sin(math.radians(slope)), math.cos(math.radians(slope))
        nearest = min((radius + radius * math.cos(p)) * a + (radius + radius * math.sin(p)) * b for p in points)
        return nearest

    show("nose left on 30 deg, 0.4", short(0.4, 30))
    show("nose chamfer of 2 with 0.8", 2 - short(0.8, 45) * math.sqrt(2))


def corners(count, size):
    """Area of a regular polygon across flats, by its corners."""
    reach = size / 2 / math.cos(math.pi / count)
    at = [(reach * math.cos(2 * math.pi * i / count), reach * math.sin(2 * math.pi * i / count)) for i in range(count)]
    return sum(x * v - u * y for (x, y), (u, v) in zip(at, at[1:] + at[:1])) / 2


def weight():
    show("weight hexagon 19 mm, mm2", corners(6, 19))
    slices = 200_000
    cone = sum(math.pi / 4 * (30 - 18 * (i + 0.5) / slices) ** 2 * 40 / slices for i in range(slices))
    show("weight cone 30 to 12 over 40, mm3", cone)
    stock, part = corners(6, 17) * 22, corners(1_000_000, 15) * 20
    show("weight chips of 15 by 20 from hexagon 17, bulk 7, mm3", 7 * (stock - part))


def life():
    # By the meaning of the range: of a hundred edges five fail before its low end.
    show("life low end is the risk of 0.05, min", 10)
    sigma = math.log(4) / (2 * NormalDist().inv_cdf(0.95))
    show("life risk of 0.2, 20 min from 10 to 40, min", 20 * math.exp(sigma * NormalDist().inv_cdf(0.2)))


def whirl():
    def root(low, high):
        f = lambda x: math.cos(x) * math.cosh(x) + 1
        for _ in range(200):
            middle = (low + high) / 2
            low, high = (middle, high) if f(low) * f(middle) > 0 else (low, middle)
        return low

    show("whirl fixed and free, 2", root(4, 5) ** 2)
    show("whirl fixed and free, 3", root(7, 8.5) ** 2)
    bow, power = 0.0, 1.0
    for _ in range(400):
        power *= 0.36
        bow += power
    show("whirl added bow at 0.6, as a series", bow)
    # Slope and sag of a beam on two pins under its weight, summed up from the middle outward.
    d, length, e, rho, g, steps = 0.020, 1.0, 205e9, 7850.0, 9.80665, 200_000
    load, ei = rho * math.pi / 4 * d * d * g, e * math.pi / 64 * d**4
    h, slope, sag = length / 2 / steps, 0.0, 0.0
    for i in range(steps):
        x = (i + 0.5) * h
        moment = load / 2 * (length * length / 4 - x * x)
        sag += (slope + moment / ei * h / 2) * h
        slope += moment / ei * h
    show("whirl sag of 20 mm steel on pins 1 m apart, mm", 1000 * sag)


print(f"# Python {sys.version.split()[0]}")
for part in (bar, motion, nose, weight, life, whirl):
    part()
