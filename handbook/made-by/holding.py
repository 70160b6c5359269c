"""Figures for holding.toml, bending.toml and drag.toml, worked out apart from the Rust code.

Plain Python (no library but the standard one): run `python3 holding.py > holding.txt`.
Nothing here uses the closed forms under test: jaws are added up one by one, rings and beams are
integrated numerically, moments of equilibrium are searched for.
"""

import math
import sys
from fractions import Fraction

print("python", sys.version.split()[0])


def say(name, value, unit=""):
    print(f"{name}: {value:.10g} {unit}".rstrip())


# --- a ring of pressure that can only press --------------------------------------------------
def ring_lift(radial, moment, length, slices=400, angles=720):
    """Total grip at which the least pressure of a ring of jaws is just zero.

    Pressure p(x, phi) = p0 + (a + b x) cos(phi) on radius R, x from -g/2 to g/2. a and b are found
    from the balance of the sideways force and the moment, by adding up small areas; then p0 so
    that the least p is zero; then the grip is the sum of p over all areas.
    """
    radius = 0.013
    dx, dphi = length / slices, 2 * math.pi / angles
    xs = [-length / 2 + dx * (i + 0.5) for i in range(slices)]
    phis = [dphi * (j + 0.5) for j in range(angles)]
    cos2 = sum(math.cos(phi) ** 2 for phi in phis) * radius * dphi
    a = radial / (cos2 * dx * slices)
    b = moment / (cos2 * sum(x * x for x in xs) * dx)
    least = min((a + b * x) * math.cos(phi) for x in (-length / 2, length / 2)
                for phi in (0.0, math.pi))
    return -least * radius * 2 * math.pi * length


say("lift, ring, 632.4555 N and 47.4342 N·m on 30 mm", ring_lift(632.4555, 47.4342, 0.030), "N")
say("lift, ring, 500 N and 60 N·m on 25 mm", ring_lift(500.0, 60.0, 0.025), "N")


def jaws_lift(jaws, radial, moment, length):
    """The same with jaws as lines, worst way of standing, by bisection on the grip."""
    def least(grip, turn):
        angle = [turn + 2 * math.pi * i / jaws for i in range(jaws)]
        squares = sum(math.cos(t) ** 2 for t in angle)
        low = math.inf
        for t in angle:
            force = radial * math.cos(t) / squares
            edge = moment * math.cos(t) / squares
            for side in (-1, 1):
                low = min(low, grip / jaws / length + force / length
                          + side * 6 * edge / length ** 2)
        return low
    low, high = 0.0, 1e7
    for _ in range(100):
        middle = (low + high) / 2
        if min(least(middle, math.radians(k)) for k in range(0, 360, 5)) < 0:
            low = middle
        else:
            high = middle
    return high


say("lift, three jaws, 632.4555 N and 47.4342 N·m on 30 mm",
    jaws_lift(3, 632.4555, 47.4342, 0.030), "N")
say("lift, six jaws, 500 N and 60 N·m on 25 mm", jaws_lift(6, 500.0, 60.0, 0.025), "N")


def pressed_out(radial, moment, length):
    """Least total grip of three jaws that only press with which the moment is held in every way of
    standing: the three forces follow from the balance across the axis, solved as equations; each
    then presses at the end of the length where it helps. By bisection on the grip."""
    def held(grip, turn):
        angle = [turn + 2 * math.pi * i / 3 for i in range(3)]
        # a·n0 + b·n1 + c·n2 = P along the load, the same across = 0, the sum = grip: Cramer's rule.
        rows = [[math.cos(t) for t in angle], [math.sin(t) for t in angle], [1.0] * 3]
        right = [radial, 0.0, grip]

        def det(m):
            return (m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1])
                    - m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0])
                    + m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0]))
        forces = []
        for column in range(3):
            swapped = [row[:column] + [value] + row[column + 1:]
                       for row, value in zip(rows, right)]
            forces.append(det(swapped) / det(rows))
        if min(forces) < -1e-9 * grip:
            return -math.inf
        return sum(n * abs(math.cos(t)) for n, t in zip(forces, angle)) * length / 2
    low, high = 0.0, 1e6
    for _ in range(80):
        middle = (low + high) / 2
        if min(held(middle, math.radians(k / 2)) for k in range(720)) < moment:
            low = middle
        else:
            high = middle
    return high


say("pressed out, no force across, 47.4342 N·m on 30 mm", pressed_out(0.0, 47.4342, 0.030), "N")
say("pressed out, 632.4555 N and 47.4342 N·m on 30 mm", pressed_out(632.4555, 47.4342, 0.030), "N")
say("pressed out, 3000 N and 55 N·m on 30 mm", pressed_out(3000.0, 55.0, 0.030), "N")
say("pressed out, 3000 N and 1 N·m on 30 mm", pressed_out(3000.0, 1.0, 0.030), "N")


def tipping(friction, diameter, moment):
    """Grip of three jaws with which the line through two of them and friction at the third bear
    the moment; the line's distance measured from coordinates, not taken as 0.75 D."""
    points = [(math.cos(2 * math.pi * i / 3) * diameter / 2,
               math.sin(2 * math.pi * i / 3) * diameter / 2) for i in range(3)]
    (x0, _), (x1, _), (x2, _) = points
    assert abs(x1 - x2) < 1e-12
    lever = x0 - x1
    return 3 * moment / (friction * lever)


say("tipping, friction 0.13, 25 mm, 47.43 N·m", tipping(0.13, 0.025, 47.43), "N")
say("tipping, friction 0.2, 60 mm, 20 N·m", tipping(0.2, 0.060, 20.0), "N")


def slip(friction_around, friction_along, diameter, torque, axial):
    """Least grip whose friction bears both, by trying how the grip's friction is shared out:
    the friction ellipse, searched by bisection on the grip."""
    low, high = 0.0, 1e8
    for _ in range(200):
        grip = (low + high) / 2
        around = 2 * torque / diameter / (friction_around * grip)
        along = axial / (friction_along * grip)
        if around ** 2 + along ** 2 > 1:
            low = grip
        else:
            high = grip
    return high


say("slip, 0.10/0.13, 25 mm, 6.6 N·m, 250 N", slip(0.10, 0.13, 0.025, 6.6, 250.0), "N")


# --- beams: curvature integrated twice, exactly, with fractions of whole numbers ----------------
def beam(steps, gpa, radial, tilt, at, force, moment):
    """Deflection in µm and slope at the load. Between changes of diameter the curvature is a
    straight line, so that Simpson's rule is exact; done with fractions."""
    pi = Fraction(math.pi)
    force, moment, at = Fraction(force), Fraction(moment) * 1000, Fraction(at)
    slope = (force * at + moment) * Fraction(tilt) / 10 ** 9
    deflection = force * Fraction(radial) / 10 ** 6
    x = Fraction(0)
    for length, outer, bore in steps:
        end = min(x + Fraction(length), at)
        stiff = Fraction(gpa) * 1000 * pi / 64 * (Fraction(outer) ** 4 - Fraction(bore) ** 4)

        def curvature(place, stiff=stiff):
            return (force * (at - place) + moment) / stiff

        step = end - x
        middle = x + step / 2
        # Second integral of a straight line: h²/6·(2·c0 + c1) at the end.
        deflection += step * slope + step ** 2 / 6 * (2 * curvature(x) + curvature(end))
        slope += step / 6 * (curvature(x) + 4 * curvature(middle) + curvature(end))
        x = end
        if x >= at:
            break
    return float(deflection * 1000), float(slope)


STEPPED = [(30, 25, 0), (18, 16, 0), (7, 22, 0), (12, 9, 0)]
for radial, tilt in ((0, 0), ("4", "1.5")):
    deflection, slope = beam(STEPPED, 205, radial, tilt, 67, 350, 0)
    say(f"beam, four steps, chuck {radial}/{tilt}, 350 N at 67 mm", deflection, "µm")
    say("  slope", slope, "rad")
deflection, slope = beam([(40, 30, 18), (35, 20, 8)], 205, "2.5", "0.8", 60, 400, "-3.5")
say("beam, bored, chuck 2.5/0.8, 400 N and -3.5 N·m at 60 mm", deflection, "µm")
say("  slope", slope, "rad")


# --- diameter after a cut: the distance from the part's axis to the tool, by coordinates ---------
def error(diameter, radial, across):
    tool = (diameter / 2, 0.0)
    axis = (-radial / 1000, across / 1000)
    return (2 * math.dist(tool, axis) - diameter) * 1000


say("diameter error, 18 mm, 20 µm and 127.2 µm", error(18.0, 20.0, 127.2), "µm")
say("diameter error, 6 mm, 35 µm and 90 µm", error(6.0, 35.0, 90.0), "µm")


# --- form: the error at the tip and the place where it passes 20 µm, bisection -------------------
def at_place(place):
    radial = beam([(80, 20, 0)], 205, "3", "1.2", Fraction(place), 180, Fraction(-220 * 9, 1000))
    across = beam([(80, 20, 0)], 205, "3", "1.2", Fraction(place), 500, 0)
    return error(18.0, radial[0], across[0])


say("form, 80 mm of 20 mm, at the tip", at_place(80), "µm")
say("form, taper from 80 mm to 10 mm", at_place(80) - at_place(10), "µm")
low, high = 10.0, 80.0
for _ in range(60):
    middle = (low + high) / 2
    low, high = (low, middle) if at_place(middle) > 20 else (middle, high)
say("form, 20 µm are passed from", high, "mm")


# --- a bent bar pressed flat, and a run-up, step by step -----------------------------------------
def pressed(diameter, length, gpa, way):
    """Force in the middle of a beam on two supports that moves it by `way`, by integrating."""
    steps = 20000
    stiff = gpa * 1000 * math.pi / 64 * diameter ** 4
    # Half of it is a cantilever from the middle with half the force at its end.
    half, deflection, slope = length / 2, 0.0, 0.0
    dx = half / steps
    for i in range(steps):
        curvature = 0.5 * (half - dx * (i + 0.5)) / stiff
        deflection += dx * (slope + dx * curvature / 2)
        slope += dx * curvature
    return way / deflection


say("bent bar, 25 mm, 1200 mm, 1.2 mm pressed flat, all touching places",
    2 * pressed(25.0, 1200.0, 205.0, 1.2), "N")
say("bent bar, 12 mm, 900 mm, 0.8 mm pressed flat, all touching places",
    2 * pressed(12.0, 900.0, 69.0, 0.8), "N")


def run_up(inertia, watts, base, to, steps=200000):
    end, base = to * math.pi / 30, base * math.pi / 30
    step = end / steps
    return sum(inertia * step / (watts / max(step * (i + 0.5), base)) for i in range(steps))


say("run-up, 0.08 kg·m², 7.5 kW, base 1500, to 4000", run_up(0.08, 7500.0, 1500.0, 4000.0), "s")
say("run-up, 0.08 kg·m², 7.5 kW, base 1500, to 1200", run_up(0.08, 7500.0, 1500.0, 1200.0), "s")
