#!/usr/bin/env python3
"""Times the bar of benches/bar.rs the plain way with GEOS: each move one difference over the bar.

Run by hand only, beside `cargo bench -p barwright-shape`. Same moves, same chord tolerance; the
sweeps are made before the clock runs. Prints seconds for 44 parts and what is left of a part.
"""
import math
import time

import shapely
from shapely.affinity import scale, translate
from shapely.geometry import box

from made_by import arc, straight

PARTS, PITCH, RADIUS, HEAD = 44, 25.0, 10.0, 40.0
CHORD = 0.0002


def moves():
    at, out = (2.0, 12.0), []

    def to(tool, z, r):
        nonlocal at
        out.append((tool, [at, (z, r)]))
        at = (z, r)

    for z, r in [(0, 11), (0, -0.4), (1, 11)]:
        to(0, z, r)
    for i in range(1, 45):
        r, end = 10 - i * 0.15, -21 + i * 0.25
        for z, q in [(1, r), (end, r), (end + 0.2, r + 0.3), (1, r + 0.3)]:
            to(0, z, q)
    for z, r in [(1, 2.3), (0, 2.3), (-1, 3.3), (-8, 3.3)]:
        to(0, z, r)
    out.append((0, [at] + arc(at, (-9.5, 4.8), (-8, 4.8), False, CHORD)))
    at = (-9.5, 4.8)
    for z, r in [(-16, 6.3), (-20, 8.2), (-22.2, 8.2), (-22.2, 11), (2, 12)]:
        to(0, z, r)
    to(1, -14, 12)
    for i in range(1, 9):
        to(1, -14, 6 - i * 0.3)
        to(1, -14, 6.1 - i * 0.3)
    for tool, z, r in [(1, -14, 12), (2, -25, 12), (2, -25, -0.2), (2, -25, 12)]:
        to(tool, z, r)
    return out


def main():
    nose = [(0, 0.4)] + arc((0, 0.4), (0.4, 0), (0.4, 0.4), True, CHORD)
    tools = [nose + [(9.5, 0.8), (9, 9), (0.8, 9.5)]]
    tools += [[(0, 0), (w, 0), (w - 0.1, 15), (0.1, 15)] for w in (2, 3)]
    sweeps = []
    for tool, way in moves():
        swept = shapely.union_all([straight(tools[tool], a, b, 1e-12) for a, b in zip(way, way[1:])])
        if swept.bounds[1] < 0:
            swept = shapely.union_all([swept, scale(swept, 1, -1, origin=(0, 0))])
        sweeps.append(swept)
    bar = box(-HEAD - PARTS * PITCH, 0, 0, RADIUS)
    start = time.perf_counter()
    for _ in range(PARTS):
        for swept in sweeps:
            bar = bar.difference(swept)
        pieces = bar.geoms if bar.geom_type == "MultiPolygon" else [bar]
        part = [p for p in pieces if p.bounds[0] > -HEAD]
        bar = translate([p for p in pieces if p.bounds[0] <= -HEAD][0], PITCH, 0)
    seconds = time.perf_counter() - start
    print(f"shapely {shapely.__version__}: {len(sweeps)} moves, {PARTS} parts: {seconds:.3f} s")
    print(f"last part: {sum(p.area for p in part):.6f} mm2")


main()
