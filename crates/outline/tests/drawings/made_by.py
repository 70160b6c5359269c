#!/usr/bin/env python3
"""Writes the DXF files of this folder with ezdxf, what ezdxf finds in them, and curves with svgpathtools.

Run by hand only: `pip install ezdxf svgpathtools`, then `python3 made_by.py` in this folder. It writes
`*.dxf`, `found.txt` (per file and layer: entities by kind, then the ends of every line and arc as ezdxf
resolves them) and `curves.txt` (path data and places on it).

Parts and figures are invented.
"""
import datetime
import random

import ezdxf
import svgpathtools
from ezdxf.enums import TextEntityAlignment

B = 0.41421356237309503  # tan(90 deg / 4): a quarter of a circle

# A pin, half of its section over y = 0: (x, y, bulge to the next corner). Front face at the left.
HALF = [
    (0, 0, 0), (0, 3.5, 0), (0.5, 4, 0), (16, 4, 0), (16, 5, -B), (16.5, 5.5, 0), (20, 5.5, 0),
    (20, 4.5, 0), (21.3, 4.5, 0), (21.3, 5.5, 0), (26, 5.5, 0), (28, 4.75, 0), (28, 0, 0),
]


def doc(version, insunits=None):
    new = ezdxf.new(version)
    if insunits is not None:
        new.header["$INSUNITS"] = insunits
    return new


def lines_and_arcs(space, corners, layer, dx=0, dy=0):
    for (x0, y0, bulge), (x1, y1, _) in zip(corners, corners[1:] + corners[:1]):
        start, end = (x0 + dx, y0 + dy), (x1 + dx, y1 + dy)
        if bulge == 0:
            space.add_line(start, end, dxfattribs={"layer": layer})
        else:
            center, a0, a1, radius = ezdxf.math.bulge_to_arc(start, end, bulge)
            import math
            space.add_arc(center, radius, math.degrees(a0), math.degrees(a1), dxfattribs={"layer": layer})


def full(half):
    other = []
    for index in range(len(half) - 2, 0, -1):
        x, y, _ = half[index]
        other.append((x, -y, half[index - 1][2]))
    corners = [c for c in half if c[1] != 0 or c in (half[0], half[-1])]
    return corners + other


def r12_lines():
    new = doc("R12")
    space = new.modelspace()
    new.layers.add("OUTLINE")
    new.layers.add("CENTER")
    lines_and_arcs(space, HALF, "OUTLINE")
    space.add_line((-3, 0), (31, 0), dxfattribs={"layer": "CENTER"})
    space.add_circle((10, 2), 1, dxfattribs={"layer": "OUTLINE"})
    return new


def r12_polyline():
    new = doc("R12")
    inch = [(x / 16, y / 16, b) for x, y, b in HALF]
    new.modelspace().add_polyline2d(inch, format="xyb", close=True, dxfattribs={"layer": "PART"})
    return new


def r2000_full_inch():
    new = doc("R2000", 1)
    inch = [(x / 16 + 2, y / 16 + 1.5, b) for x, y, b in full(HALF)]
    new.modelspace().add_lwpolyline(inch, format="xyb", close=True, dxfattribs={"layer": "PART"})
    return new


def r2010_blocks():
    new = doc("R2010", 4)
    block = new.blocks.new("MARK")
    block.add_line((0, 0), (5, 5))
    space = new.modelspace()
    space.add_lwpolyline([(x, y, b) for x, y, b in HALF], format="xyb", close=True, dxfattribs={"layer": "PART"})
    space.add_blockref("MARK", (3, 3), dxfattribs={"layer": "PART"})
    space.add_text("PIN", height=2, dxfattribs={"layer": "PART"}).set_placement((0, 10), align=TextEntityAlignment.LEFT)
    space.add_linear_dim(base=(0, 12), p1=(0, 5), p2=(28, 5)).render()
    space.add_spline([(0, 20), (5, 25), (10, 20)], dxfattribs={"layer": "SKETCH"})
    new.layout("Layout1").add_line((0, 0), (100, 0), dxfattribs={"layer": "PART"})
    return new


def r2010_behind():
    """The same, drawn on planes seen from behind."""
    new = doc("R2010", 4)
    space = new.modelspace()
    corners = [(-x, y, -b) for x, y, b in HALF]
    for index, (x0, y0, bulge) in enumerate(corners):
        x1, y1, _ = corners[(index + 1) % len(corners)]
        behind = {"layer": "PART", "extrusion": (0, 0, -1)}
        if bulge:
            space.add_lwpolyline([(x0, y0, bulge), (x1, y1, 0)], format="xyb", dxfattribs=behind)
        else:
            space.add_line((-x0, y0), (-x1, y1), dxfattribs={"layer": "PART"})
    return new


def found(name, new, out):
    counts = {}
    ends = []
    for entity in new.modelspace():
        layer, kind = entity.dxf.layer, entity.dxftype()
        counts.setdefault(layer, {}).setdefault(kind, 0)
        counts[layer][kind] += 1
        pieces = [entity] if kind in ("LINE", "ARC") else []
        if kind in ("LWPOLYLINE", "POLYLINE"):
            pieces = list(entity.virtual_entities())
        for piece in pieces:
            if piece.dxftype() == "LINE":
                a, b = piece.dxf.start, piece.dxf.end
                ends.append(f"line {layer} {a.x:.9f} {a.y:.9f} {b.x:.9f} {b.y:.9f}")
            else:
                a, b = piece.start_point, piece.end_point
                c = piece.ocs().to_wcs(piece.dxf.center)
                ends.append(f"arc {layer} {a.x:.9f} {a.y:.9f} {b.x:.9f} {b.y:.9f} {c.x:.9f} {c.y:.9f} {piece.dxf.radius:.9f}")
    out.write(f"file {name}\n")
    for layer in sorted(counts):
        for kind in sorted(counts[layer]):
            out.write(f"count {layer} {kind} {counts[layer][kind]}\n")
    out.writelines(line + "\n" for line in ends)


def curves(out):
    """Random paths of curves and arcs: the path, places along it, and the centers of its circles."""
    rng = random.Random(20261126)
    figure = lambda: round(rng.uniform(-40, 40), 3)
    for kind in ["C", "c", "Q", "q", "S", "T", "A", "a", "E"] * 8:
        x, y = figure(), figure()
        body = f"M {x} {y} "
        if kind in "Aa":
            r = round(rng.uniform(5, 60), 3)
            body += f"{kind} {r} {r} {figure()} {rng.randrange(2)} {rng.randrange(2)} {figure()} {figure()}"
        elif kind == "E":
            body += f"A {abs(figure()) + 3:.3f} {abs(figure()) + 3:.3f} {figure()} {rng.randrange(2)} {rng.randrange(2)} {figure()} {figure()}"
        elif kind == "S":
            body += "C " + " ".join(str(figure()) for _ in range(6)) + " S " + " ".join(str(figure()) for _ in range(4))
        elif kind == "T":
            body += "Q " + " ".join(str(figure()) for _ in range(4)) + f" T {figure()} {figure()}"
        else:
            body += kind + " " + " ".join(str(figure()) for _ in range(6 if kind in "Cc" else 4))
        path = svgpathtools.parse_path(body)
        out.write(f"path {body}\n")
        for segment in path:
            if isinstance(segment, svgpathtools.Arc) and kind in "Aa":
                out.write(f"circle {segment.center.real:.6f} {segment.center.imag:.6f} {segment.radius.real:.6f}\n")
            for step in range(33):
                place = segment.point(step / 32)
                out.write(f"at {place.real:.6f} {place.imag:.6f}\n")


if __name__ == "__main__":
    head = f"# Written by made_by.py on {datetime.date.today()}: ezdxf {ezdxf.__version__}"
    with open("found.txt", "w") as out:
        out.write(head + "\n")
        for make in (r12_lines, r12_polyline, r2000_full_inch, r2010_blocks, r2010_behind):
            name = make.__name__.replace("_", "-") + ".dxf"
            new = make()
            new.saveas(name)
            found(name, ezdxf.readfile(name), out)
    with open("curves.txt", "w") as out:
        import importlib.metadata
        version = importlib.metadata.version("svgpathtools")
        out.write(f"# Written by made_by.py on {datetime.date.today()}: svgpathtools {version}\n")
        curves(out)
