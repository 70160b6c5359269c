"""Figures for cutting.toml, life.toml, finish.toml and chips.toml, worked out apart from the Rust
code by other ways where there is one: integrals by quadrature, optima by minimization, quantiles by
scipy's lognormal law, chips by the area of the shapes.

Run: python3 handbook/made-by/cutting.py > handbook/made-by/cutting.txt
Needs numpy and scipy; the output names their versions.
"""

import math
import sys

import numpy
import scipy
from scipy import integrate, optimize, stats

INCH, POUND = 25.4, 4.4482216152605


def show(name, value):
    print(f"{name:<58} {value:.10g}")


def kienzle(kc11, mc, f, ap, kappa, v):
    s = math.sin(math.radians(kappa))
    h, b = f * s, ap / s
    kc = kc11 * h**-mc
    force = kc * f * ap
    return h, b, kc, force, force * v / 60


def ra(f, r):
    y = lambda x: r - math.sqrt(r * r - x * x)
    mean = integrate.quad(y, 0, f / 2, epsabs=1e-14)[0] / (f / 2)
    cross = optimize.brentq(lambda x: y(x) - mean, 0, f / 2, xtol=1e-15)
    total = sum(
        abs(integrate.quad(lambda x: y(x) - mean, a, b, epsabs=1e-15)[0])
        for a, b in [(0, cross), (cross, f / 2)]
    )
    return 1000 * total / (f / 2)


def chord(ap, r, kappa):
    """The edge as points: an arc that turns from 0 to kappa, then a straight line."""
    k = math.radians(kappa)
    turned = numpy.linspace(0, k, 200001)
    along, deep = r * numpy.sin(turned), r * (1 - numpy.cos(turned))
    line = numpy.linspace(0, 50, 200001)
    along = numpy.concatenate([along, along[-1] + line * math.cos(k)])
    deep = numpy.concatenate([deep, deep[-1] + line * math.sin(k)])
    return math.degrees(math.atan2(ap, numpy.interp(ap, deep, along)))


def thread_chip(before, after, flat, angle):
    t = math.tan(math.radians(angle / 2))
    area = integrate.quad(lambda z: flat + 2 * z * t, before, after)[0]
    width = flat + 2 * math.hypot(after, after * t)
    return area / width, width


def wear(n, c, change, price, rate, idle, way):
    """Fastest and cheapest speed by minimization."""
    life = lambda v: (c / v) ** (1 / n)
    time = lambda v: idle + way / v * (1 + change / life(v))
    cost = lambda v: rate * time(v) + price * way / v / life(v)
    best = lambda what: optimize.minimize_scalar(
        what, bounds=(c / 50, c), method="bounded", options={"xatol": 1e-10}
    ).x
    fast, cheap = best(time), best(cost)
    return fast, life(fast), time(fast), cheap, life(cheap), cost(cheap)


def main():
    print(f"# Python {sys.version.split()[0]}, numpy {numpy.__version__}, scipy {scipy.__version__}")
    for name, given in {
        "E1": (2220, 0.14, 0.3, 3, 75, 150),
        "E3": (1780, 0.17, 0.2, 2.5, 90, 200),
        "E6": (2220, 0.14, 0.08, 3, 90, 100),
        "E7": (1160, 0.26, 0.4, 1, 45, 100),
        "austenitic": (2350, 0.21, 0.15, 1.2, 95, 140),
        "brass": (780, 0.18, 0.12, 0.8, 93, 250),
    }.items():
        for what, value in zip(["h", "b", "kc", "Fc", "P"], kienzle(*given)):
            show(f"{name} {what}", value)
    for given in [(1780, 0.17, 0.16), (2526, 0.25, 0.16), (1186, 0.246, 0.25), (2120, 0.18, 0.63)]:
        show(f"kc at f, 45 deg {given}", kienzle(*given[:2], given[2], 1, 45, 1)[2])
    for v in (20, 30, 60, 100, 150, 300, 600):
        show(f"speed factor {v}", 2.023 / v**0.153 if v <= 100 else 1.38 / v**0.07)
    for given in [(0.3, 0.8, 95), (0.8, 0.8, 95), (2, 0.8, 95), (2, 0.8, 45), (0.1, 0.4, 75), (1, 1e-9, 75)]:
        show(f"effective edge angle {given}", chord(*given))
    for given in [(0, 0.2, 0.1875, 60), (0.4850, 0.6858, 0.3125, 60), (0, 1, 0, 90), (0.5, 0.6, 0.1, 55)]:
        for what, value in zip(["h", "b"], thread_chip(*given)):
            show(f"thread chip {given} {what}", value)
    ring = lambda a, b: abs(integrate.quad(lambda r: 2 * math.pi * r, a / 2, b / 2)[0])
    show("turned 12.5 to 12, 200 mm/min, mm3/min", ring(12.5, 12) * 200)
    show("turned 75 to 65, 250 mm/min, mm3/min", ring(75, 65) * 250)
    show("bored 20 to 24, 0.15 mm, 1200 rpm, cm3/min", ring(20, 24) * 0.15 * 1200 / 1000)
    kc = kienzle(2220, 0.14, 0.1, 1, 59, 1)[2]
    lip = lambda r: kc * 0.1 * r
    moment = 2 * integrate.quad(lip, 0, 5)[0] / 1000
    show("drill 10 mm 0.2 mm/rev 1045 118 deg, kc", kc)
    show("drill torque by adding up both lips, N m", moment)
    show("drill thrust of the lips, N", 0.5 * kc * 0.2 * 5 * math.sin(math.radians(59)))
    f, d = 0.008, 0.875
    thrust = 2 * 24000 * f**0.8 * d**0.8 * 1.355 * 1.3 + 24000 * d * d * 0.030 * 1.3
    torque = 24000 * f**0.8 * d**1.8 * 1.085 * 1.3
    show("7/8 in drill thrust lbf", thrust)
    show("7/8 in drill torque in lbf", torque)
    for name, given in {
        "F7": (0.13, 80, 3, 3.33, 0.667, 1, 100),
        "F8": (0.125, 70, 2, 3, 0.5, 5, math.pi * 100 * 500 / 0.25 / 1000),
        "carbide": (0.25, 500, 1, 4, 1.2, 2, 200),
    }.items():
        what = ["fastest v", "fastest T", "fastest time", "cheapest v", "cheapest T", "cost"]
        for name_of, value in zip(what, wear(*given)):
            show(f"{name} {name_of}", value)
    for risk in (0.01, 0.05, 0.5, 0.95):
        sigma = math.log(2) / stats.norm.ppf(0.95)
        show(f"life at risk {risk}, 15 min from 7.5 to 30", stats.lognorm.ppf(risk, sigma, scale=15))
    for f, r in [(0.10, 0.4), (0.20, 0.8), (0.05, 0.8), (0.4, 0.4), (0.8, 0.4), (0.01, 0.8)]:
        show(f"Ra exact {f} {r}", ra(f, r))
        show(f"Rt exact {f} {r}", 1000 * (r - math.sqrt(r * r - f * f / 4)))
    for want, r in [(1.6, 0.8), (0.8, 0.4), (3.2, 1.2)]:
        feed = optimize.brentq(lambda f: ra(f, r) - want, 0.01, 1.5 * r, xtol=1e-13)
        show(f"feed for Ra {want} {r} exact", feed)
        show(f"feed for Ra {want} {r} textbook", math.sqrt(32 * r * want / 1000))


main()
