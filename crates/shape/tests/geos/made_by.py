#!/usr/bin/env python3
"""Writes sweeps.txt: random sweeps of tools over a bar, and the areas GEOS finds.

Run by hand only: `pip install shapely`, then `python3 made_by.py > sweeps.txt`.

A sweep is built here from the outline at both ends and the parallelogram each of its edges passes
over; no convex parts are used. Arcs, of tools and of moves, are chords within 0.01 um of the arc.
Lengths are whole micrometers, areas are mm2.
"""
import math
import random

import shapely
from shapely.affinity import scale, translate
from shapely.geometry import Polygon, box

FINE = 0.01
rng = random.Random(20251125)


def arc(frm, to, center, ccw, tolerance=FINE):
    """Points after `frm` up to `to`."""
    (a, b), (cz, cr) = (frm, to), center
    radius = math.hypot(a[0] - cz, a[1] - cr)
    start = math.atan2(a[1] - cr, a[0] - cz)
    angle = math.atan2(b[1] - cr, b[0] - cz) - start
    if ccw and angle <= 1e-12:
        angle += 2 * math.pi
    if not ccw and angle >= -1e-12:
        angle -= 2 * math.pi
    n = max(2, math.ceil(abs(angle) / (2 * math.acos(1 - min(tolerance / radius, 0.5)))))
    inner = [(cz + radius * math.cos(start + angle * i / n), cr + radius * math.sin(start + angle * i / n))
             for i in range(1, n)]
    return inner + [b]


def outline():
    """An edge list `x z r` (line) or `a z r cz cr` (counterclockwise arc), from a start."""
    kind = rng.randrange(5)
    if kind == 0:  # insert with a nose
        nose, lead = rng.choice([100, 200, 400, 800, 1200]), rng.randrange(0, 900)
        edges = [("a", nose, 0, nose, nose), ("x", 9000, lead), ("x", 9000, 9000), ("x", lead, 9000)]
        return (0, nose), edges
    if kind == 1:  # parting blade with relief
        w, h, d = rng.randrange(1000, 4000), rng.randrange(8000, 16000), rng.randrange(1, 300)
        return (0, 0), [("x", w, rng.choice([0, 100])), ("x", w - d, h), ("x", d, h)]
    if kind == 2:  # a hook, as a boring bar or a holder
        w, n = rng.randrange(1000, 3000), rng.randrange(2000, 4000)
        return (0, 0), [("x", w, 0), ("x", w + 300, n), ("x", 25000, n), ("x", 25000, n + 3000), ("x", 0, n + 3000)]
    if kind == 3:  # full radius groover
        r = rng.choice([500, 1000, 1500])
        return (0, r), [("a", 2 * r, r, r, r), ("x", 2 * r, 9000), ("x", 0, 9000)]
    # any triangle or quadrangle, convex hull of random points
    while True:
        hull = shapely.MultiPoint([(rng.randrange(0, 8000), rng.randrange(0, 8000)) for _ in range(4)]).convex_hull
        if hull.geom_type == "Polygon" and hull.area > 1e6:
            points = [(int(z), int(r)) for z, r in list(hull.exterior.coords)[:-1]]
            return points[0], [("x", z, r) for z, r in points[1:]]


def polygon(start, edges):
    points = [start]
    for kind, *v in edges:
        points += [(v[0], v[1])] if kind == "x" else arc(points[-1], (v[0], v[1]), (v[2], v[3]), True)
    return points


def straight(points, a, b, least=1e-3):
    d = (b[0] - a[0], b[1] - a[1])
    base = Polygon(points)
    parts = [translate(base, *a), translate(base, *b)]
    for (pz, pr), (qz, qr) in zip(points, points[1:] + points[:1]):
        quad = Polygon([(pz + a[0], pr + a[1]), (qz + a[0], qr + a[1]), (qz + b[0], qr + b[1]), (pz + b[0], pr + b[1])])
        if quad.area > least:
            parts.append(quad)
    return shapely.union_all(parts)


def main():
    print(f"# made by made_by.py: shapely {shapely.__version__}, GEOS {'.'.join(map(str, shapely.geos_version))}; um, mm2")
    print("# bar length bore radius / tool start edges / l|c|w from to [center]: area of the sweep, area left of the bar")
    for _ in range(300):
        length, bore, radius = rng.randrange(20000, 60000), rng.choice([0, 0, rng.randrange(1000, 5000)]), rng.randrange(6000, 12000)
        stock = box(-length, bore, 0, radius)
        print(f"bar {length} {bore} {radius}")
        for _ in range(2):
            start, edges = outline()
            points = polygon(start, edges)
            print("tool", *start, *[" ".join(map(str, e)) for e in edges])
            at = (rng.randrange(-30000, 4000), rng.randrange(0, 13000))
            for _ in range(4):
                kind = rng.randrange(6)
                to = (rng.randrange(-30000, 4000), rng.randrange(-1000 if kind == 1 else 0, 13000))
                if kind in (0, 1):
                    to = (at[0], to[1])
                elif kind in (2, 3):
                    to = (to[0], at[1])
                if kind == 5:
                    r, side, ccw = rng.randrange(500, 6000), rng.choice([-1, 1]), rng.random() < 0.5
                    center = (at[0], at[1] + r)
                    to = (at[0] + side * r, at[1] + r)
                    way = [at] + arc(at, to, center, ccw)
                    swept = shapely.union_all([straight(points, a, b) for a, b in zip(way, way[1:])])
                    name = f"{'c' if ccw else 'w'} {at[0]} {at[1]} {to[0]} {to[1]} {center[0]} {center[1]}"
                else:
                    swept = straight(points, at, to)
                    name = f"l {at[0]} {at[1]} {to[0]} {to[1]}"
                cut = swept
                if swept.bounds[1] < 0:
                    cut = shapely.union_all([swept, scale(swept, 1, -1, origin=(0, 0))])
                stock = stock.difference(cut)
                print(f"{name}: {swept.area * 1e-6:.7f} {stock.area * 1e-6:.7f}")
                at = to


if __name__ == "__main__":
    main()
