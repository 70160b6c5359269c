"""Values for handbook/whirl.toml, apart from the Rust code: exact solutions of the beam equation
(roots of determinants of sin, cos, sinh, cosh; no elements), and closed forms.

Run with scipy and numpy; the output is kept beside this file in whirl.txt.
"""
import math

import numpy as np
import scipy
from scipy.optimize import brentq

print(f"# numpy {np.__version__}, scipy {scipy.__version__}")
G = 9.80665


def basis(b, x, order):
    """cos and sin and their derivatives, in units of b."""
    c, s = math.cos(b * x), math.sin(b * x)
    return [(c, s), (-s, c), (-c, -s), (s, -c)][order]


def row(b, x, length, order):
    """The four solutions at x; exponentials that fall from either end keep the figures small."""
    c, s = basis(b, x, order)
    return np.array([c, s, (-1) ** order * math.exp(-b * x), math.exp(b * (x - length))])


def determinant(b, spans, left, right, springs=()):
    """Spans between supports; ends 'free', 'pin', 'clamp'. Inner supports are pins, or springs of
    k/(EI) in 1/m³ where `springs` names them."""
    n = len(spans)
    rows = []

    def put(span, values):
        line = np.zeros(4 * n)
        line[4 * span:4 * span + 4] = values
        return line

    orders = {"free": (2, 3), "pin": (0, 2), "clamp": (0, 1)}
    for order in orders[left]:
        rows.append(put(0, row(b, 0, spans[0], order)))
    for i in range(n - 1):
        a, c = spans[i], spans[i + 1]
        spring = dict(springs).get(i)
        if spring is None:
            rows.append(put(i, row(b, a, a, 0)))
            rows.append(put(i + 1, row(b, 0, c, 0)))
        else:
            rows.append(put(i, row(b, a, a, 0)) - put(i + 1, row(b, 0, c, 0)))
            # shear just left − shear just right = −k·y
            rows.append(put(i, row(b, a, a, 3) - spring / b**3 * row(b, a, a, 0))
                        - put(i + 1, row(b, 0, c, 3)))
        for order in (1, 2):
            rows.append(put(i, row(b, a, a, order)) - put(i + 1, row(b, 0, c, order)))
    for order in orders[right]:
        rows.append(put(n - 1, row(b, spans[-1], spans[-1], order)))
    return np.linalg.det(np.array(rows))


def roots(count, *args, **kwargs):
    found, b, step = [], 0.3, 0.01
    last = determinant(b, *args, **kwargs)
    while len(found) < count:
        now = determinant(b + step, *args, **kwargs)
        if last * now < 0:
            found.append(brentq(determinant, b, b + step, args=(*args, *kwargs.values()), xtol=1e-14))
        b, last = b + step, now
    return found


def rpm(b, d, e, rho):
    return b * b * math.sqrt(e * d * d / 16 / rho) * 30 / math.pi


def show(name, value):
    print(f"{name}: {value:.9g}")


# Spans in meters; roots are β in 1/m.
for name, spans, left, right in [
    ("pins 0 400 1000, tail to 1200", [0.4, 0.6, 0.2], "pin", "free"),
    ("clamp 0, pins 300 700, tail to 1000", [0.3, 0.4, 0.3], "clamp", "free"),
    ("clamp 0, pins 300 700 1000, tail to 1100", [0.3, 0.4, 0.3, 0.1], "clamp", "free"),
    ("tail 150, pins 150 650, tail to 1000", [0.15, 0.5, 0.35], "free", "free"),
    ("clamp 0, clamp 900", [0.9], "clamp", "clamp"),
]:
    for i, b in enumerate(roots(3, spans, left, right), 1):
        show(f"{name}: beta {i}", b)
        show(f"  25 mm, 205 GPa, 7850: rpm {i}", rpm(b, 0.025, 205e9, 7850))

# Overhang c/a of H13 and H14 once more, by the determinant.
for c in (0.1, 0.25, 0.3, 0.5, 0.75, 1.0):
    show(f"pin pin tail {c}", roots(1, [1.0, c], "pin", "free")[0])
for c in (0.1, 0.25, 0.5, 0.75, 1.0):
    show(f"clamp pin tail {c}", roots(1, [1.0, c], "clamp", "free")[0])
# H19 and H22 once more.
show("H19 rpm", rpm(roots(1, [0.55, 0.15], "clamp", "free")[0], 0.025, 205e9, 7850))
ei20 = 205e9 * math.pi * 0.02**4 / 64
for k in (1e4, 1e5, 1e6):
    b = roots(1, [0.5, 0.5], "pin", "pin", springs=((0, k / ei20),))
    show(f"H22 spring {k:g} N/m rpm", rpm(b[0], 0.02, 205e9, 7850))

# Even bow, curvature kappa = 8·rise/over²: exact solutions of EI·u'''' = m·ω²·u with the moment
# EI·kappa at free and pinned ends.
def beta_at(n, d, e, rho):
    w = n * math.pi / 30
    return math.sqrt(w / math.sqrt(e * d * d / 16 / rho))


def tail_run_out(n, length, kappa, d, e, rho):
    b = beta_at(n, d, e, rho)
    a = np.array([row(b, 0, length, 0), row(b, 0, length, 1),
                  row(b, length, length, 2), row(b, length, length, 3)])
    x = np.linalg.solve(a, [0, 0, kappa / b**2, 0])
    return row(b, length, length, 0) @ x


for n in (0.001, 600, 900, 1100, 1200):
    kappa = 2 * 0.5e-3 / 0.9144**2
    show(f"H24 tail at {n} rpm, mm", 1e3 * tail_run_out(n, 0.9144, kappa, 0.0254, 193e9, 8000))
for n in (300, 1000, 2000):
    a = beta_at(n, 0.025, 205e9, 7850) * 1.2 / 2
    b = 2 * a / 1.2
    mid = 8 * 1e-3 / (2 * b * b) * (1 / math.cos(a) - 1 / math.cosh(a))
    show(f"25 mm, 1.2 m on two pins, 1 mm over 1 m, at {n} rpm, mm", 1e3 * mid)

# Sag under weight.
for d, e, rho, length in ((0.025, 205e9, 7850, 1.2), (0.04, 68.9e9, 2700, 1.0)):
    w, ei = rho * math.pi / 4 * d * d * G, e * math.pi / 64 * d**4
    show(f"sag {d} {length}: 5wL4/384EI mm", 1e3 * 5 * w * length**4 / (384 * ei))
    show(f"sag {d} {length}: wL4/8EI mm", 1e3 * w * length**4 / (8 * ei))
    show(f"sag {d} {length}: wL4/384EI mm", 1e3 * w * length**4 / (384 * ei))
    show(f"root stress {d} {length}: wL2/2·d/2I MPa", w * length**2 / 2 * d / 2 / (math.pi / 64 * d**4) / 1e6)
    show(f"mid stress {d} {length}: wL2/8·d/2I MPa", w * length**2 / 8 * d / 2 / (math.pi / 64 * d**4) / 1e6)
    delta = 5 * w * length**4 / (384 * ei)
    show(f"estimate {d} {length}: rpm", 30 / math.pi * math.sqrt(G / delta))

# A bar's life: 25 mm steel, jaws rigid over 40 mm, rings 420 and 800 mm behind the jaw face, pitch
# 27.178 mm, stick-out 39.178 mm, bar 1219.2 mm; the limit is 0.7 of the lowest critical speed.
def critical(part):
    behind = 1.2192 - 0.039178 - 0.027178 * (part - 1)
    front = rpm(1.875104068711961 / 0.039178, 0.025, 205e9, 7850)
    places = [0.04] + [at for at in (0.42, 0.8) if at <= behind] + [behind]
    spans = [b - a for a, b in zip(places, places[1:])]
    if sum(spans) < 0.039178:  # shorter than the bar in front, which is then the weaker
        return front
    return min(front, rpm(roots(1, spans, "clamp", "free")[0], 0.025, 205e9, 7850))


for part in (1, 10, 15, 16, 20, 29, 30, 40):
    show(f"life part {part} allowed rpm", 0.7 * critical(part))
show("life worst part", min(range(1, 45), key=critical))
# What the slender beam leaves out: the lower root of Timoshenko's frequency equation on two pins,
# κ = 0.9 for a round section, G = E/2.6.
r, c, k = 0.025 / 4, math.sqrt(205e9 / 7850), math.pi / 0.5
slender = k * k * r * c
shear = 2.6 / 0.9
roots_squared = np.roots([r * r * shear / c**2, -(1 + (r * k)**2 * (1 + shear)), slender**2])
loss = 1 - math.sqrt(min(roots_squared)) / slender
show(f"Timoshenko, 25 mm steel on two pins of 0.5 m: loss of its slender {slender * 30 / math.pi:.3f} rpm", loss)
show("unbalance 2 kg 0.5 mm 1500 rpm N", 2 * 0.0005 * (1500 * math.pi / 30) ** 2)
show("flung 0.9144 m 80 deg 1000 rpm m/s", 1000 * math.pi / 30 * 0.9144 * math.sin(math.radians(80)))
show("flung 0.3 m 90 deg 3000 rpm m/s", 3000 * math.pi / 30 * 0.3)
show("rise of 0.007 in total over 1 ft, over 1 m, mm", 0.007 / 2 * 25.4 * (1000 / 304.8) ** 2)
