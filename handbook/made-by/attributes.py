"""Figures for sizes.toml on good and bad parts and on the next number of a sample, worked out apart from the
Rust code, by scipy alone.

Run: python3 handbook/made-by/attributes.py > handbook/made-by/attributes.txt
"""

import itertools
import math
import sys

import numpy as np
import scipy
from scipy import stats

VISCOSITY = [33.75, 33.05, 34, 33.81, 33.46, 34.02, 33.68, 33.27, 33.49, 33.20, 33.62, 33.00, 33.54, 33.12, 33.84]


def show(name, value):
    print(f"{name:<52} {value:.12g}")


print(f"python {sys.version.split()[0]}, numpy {np.__version__}, scipy {scipy.__version__}")
for bad, gauged, sure in ((0, 60, 0.95), (3, 125, 0.95), (17, 40, 0.9)):
    one = stats.binomtest(bad, gauged, alternative="less").proportion_ci(sure, "exact")
    show(f"at most bad, {bad} of {gauged}, {sure}", one.high)
for bad, share, sure in ((0, 0.01, 0.95), (1, 0.01, 0.95), (3, 0.01, 0.95), (2, 0.05, 0.9), (5, 0.001, 0.95)):
    # The first that will do, looked for one by one from the inverse of the Poisson law on.
    start = max(bad + 1, int(stats.chi2.ppf(sure, 2 * bad + 2) / (2 * share) * 0.9))
    assert stats.binom.cdf(bad, start, share) > 1 - sure
    show(f"gauged for {share}, {bad} bad, {sure}", next(n for n in itertools.count(start) if stats.binom.cdf(bad, n, share) <= 1 - sure))
for share, risk in ((0.004, 0.05), (0.0487029133101, 0.05), (0.0001, 0.01)):
    show(f"parts within, {share}, {risk}", next(m for m in itertools.count() if stats.geom.cdf(m + 1, share) > risk))
x = np.array(VISCOSITY)
n, mean, s = len(x), x.mean(), x.std(ddof=1)
for tail, word in ((0.025, "least"), (0.975, "most")):
    show(f"the next viscosity, 95 % {word}", stats.t.ppf(tail, n - 1, mean, s * math.sqrt(1 + 1 / n)))
