"""The eigenproblems of benches/whirl.rs with scipy, from elements of its own on the same nodes.

Arguments: one "stick_out,behind" a part, in meters. Prints milliseconds for all parts with dense
eigh, the same with sparse eigsh, then the critical speeds in rev/min. Matrices are made before the
clock starts.
"""
import math
import sys
import time

import numpy as np
import scipy.linalg
import scipy.sparse
import scipy.sparse.linalg

E, RHO, D = 205e9, 7850.0, 0.025
AREA, SECOND = math.pi * D**2 / 4, math.pi * D**4 / 64


def nodes(ends, length):
    longest = max(b - a for a, b in zip(ends, ends[1:]))
    unit = min(length / 32, longest / 8)
    x = [0.0]
    for a, b in zip(ends, ends[1:]):
        pieces = max(1, math.ceil((b - a) / unit - 1e-9))
        x += [a + (b - a) * i / pieces for i in range(1, pieces + 1)]
    return x


def matrices(front, behind):
    length = front + behind
    clamps = [front, front + min(0.040, behind)]
    rings = [front + at for at in (0.420, 0.800) if at <= behind]
    inner = sorted(clamps + rings)
    ends = [0.0]
    for place in inner:
        if place - ends[-1] > length / 2000 and length - place > length / 2000:
            ends.append(place)
    x = nodes(ends + [length], length)
    size = 2 * len(x)
    k, m = np.zeros((size, size)), np.zeros((size, size))
    for i, (a, b) in enumerate(zip(x, x[1:])):
        h = b - a
        at = slice(2 * i, 2 * i + 4)
        k[at, at] += E * SECOND / h**3 * np.array(
            [[12, 6*h, -12, 6*h], [6*h, 4*h*h, -6*h, 2*h*h],
             [-12, -6*h, 12, -6*h], [6*h, 2*h*h, -6*h, 4*h*h]])
        m[at, at] += RHO * AREA * h / 420 * np.array(
            [[156, 22*h, 54, -13*h], [22*h, 4*h*h, 13*h, -3*h*h],
             [54, 13*h, 156, -22*h], [-13*h, -3*h*h, -22*h, 4*h*h]])
    near = lambda place: min(range(len(x)), key=lambda i: abs(x[i] - place))
    fixed = {2 * near(p) for p in clamps + rings} | {2 * near(p) + 1 for p in clamps}
    free = [i for i in range(size) if i not in fixed]
    return k[np.ix_(free, free)], m[np.ix_(free, free)]


def best(solve, problems, runs):
    times, values = [], None
    for _ in range(runs):
        start = time.perf_counter()
        values = [solve(problem) for problem in problems]
        times.append(time.perf_counter() - start)
    return min(times) * 1e3, values


def main():
    problems = [matrices(*map(float, part.split(","))) for part in sys.argv[1:]]
    dense, values = best(
        lambda p: scipy.linalg.eigh(*p, eigvals_only=True, subset_by_index=[0, 0])[0], problems, 5)
    sparse = [tuple(map(scipy.sparse.csc_matrix, p)) for p in problems]
    thin, _ = best(
        lambda p: scipy.sparse.linalg.eigsh(p[0], 1, p[1], sigma=0, return_eigenvectors=False)[0],
        sparse, 5)
    print(dense, thin, *[math.sqrt(value) * 30 / math.pi for value in values])


main()
