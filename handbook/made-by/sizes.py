"""Figures for sizes.toml and learned.toml, worked out apart from the Rust code: constants of the range
by another integral, quantiles and intervals by scipy and statsmodels, lives by scipy's censored
fit and a search over the likelihood, average run lengths by Markov chains.

Run: python3 handbook/made-by/sizes.py > handbook/made-by/sizes.txt
Needs numpy, scipy and statsmodels; the output names their versions.
"""

import itertools
import sys

import numpy as np
import scipy
import statsmodels
import statsmodels.api as sm
from scipy import integrate, optimize, stats
from statsmodels.stats.proportion import proportion_confint

VISCOSITY = [33.75, 33.05, 34, 33.81, 33.46, 34.02, 33.68, 33.27, 33.49, 33.20, 33.62, 33.00, 33.54, 33.12, 33.84]
WEAR = [12.001, 12.004, 12.002, 12.007, 12.009, 12.008, 12.012, 12.011, 12.015, 12.016]
LOADS = [82.0, 95.5, 88.0, 79.0, 101.0, 90.5]
CYCLES = [41.2, 40.8, 41.0, 41.3, 40.9]
SHORTFALLS = [0.040, 0.055, 0.062, 0.048, 0.051, 0.070, 0.044, 0.058]
WORN = [1260.0, 1500.0, 1710.0, 1830.0, 2040.0]
EARLY = [1400.0, 1600.0, 1900.0]


def show(name, value):
    print(f"{name:<52} {value:.12g}")


def ranges():
    # The mean and mean square of the range from the joint law of least and most, not from its density.
    for n in (2, 3, 4, 5, 6, 7, 8, 10, 15, 20, 25):
        d2, _ = integrate.quad(lambda x: 1 - stats.norm.cdf(x) ** n - stats.norm.sf(x) ** n, -12, 12, epsabs=1e-12)
        x = np.linspace(-8, 8, 3201)
        below = stats.norm.cdf(x)
        # E R² = 2 ∫∫ over x < y of P(least < x or … ): 1 − Φ(y)ⁿ − (1 − Φ(x))ⁿ + (Φ(y) − Φ(x))ⁿ.
        inner = np.empty_like(x)
        for i in range(len(x)):
            y = below[i:]
            f = 1 - y**n - (1 - below[i]) ** n + (y - below[i]) ** n
            inner[i] = integrate.simpson(f, x=x[i:]) if len(f) > 1 else 0.0
        second = 2 * np.trapezoid(inner, x)
        show(f"d2 of {n}", d2)
        show(f"d3 of {n}", np.sqrt(second - d2**2))
        gamma = scipy.special.gammaln
        show(f"c4 of {n}", np.sqrt(2 / (n - 1)) * np.exp(gamma(n / 2) - gamma((n - 1) / 2)))


def summaries():
    x = np.array(VISCOSITY)
    n, mean, s = len(x), x.mean(), x.std(ddof=1)
    low, high = stats.t.interval(0.95, n - 1, mean, s / np.sqrt(n))
    show("viscosity mean, 95 % least", low)
    show("viscosity mean, 95 % most", high)
    show("viscosity deviation, 95 % least", s * np.sqrt((n - 1) / stats.chi2.ppf(0.975, n - 1)))
    show("viscosity deviation, 95 % most", s * np.sqrt((n - 1) / stats.chi2.ppf(0.025, n - 1)))


def wear():
    y = np.array(WEAR)
    x = np.arange(1, len(y) + 1)
    fit = sm.OLS(y, sm.add_constant(x)).fit()
    for part in (15, 30):
        frame = fit.get_prediction([[1.0, part]]).summary_frame(alpha=0.05)
        show(f"wear, part {part}, 95 % least", frame["obs_ci_lower"].iloc[0])
        show(f"wear, part {part}, 95 % most", frame["obs_ci_upper"].iloc[0])
        error = (frame["obs_ci_upper"].iloc[0] - frame["mean"].iloc[0]) / stats.t.ppf(0.975, len(y) - 2)
        law = stats.t(len(y) - 2, frame["mean"].iloc[0], error)
        show(f"wear, part {part}, chance outside 11.98 to 12.03", law.cdf(11.98) + law.sf(12.03))


def capabilities():
    cases = [("16 2 50 8 20", 16, 2, 50, 8, 20), ("12.005 0.006 30 11.97 12.03", 12.005, 0.006, 30, 11.97, 12.03),
             ("97 1.6 30 90 100", 97, 1.6, 30, 90, 100)]
    for name, mean, s, n, least, most in cases:
        cp = (most - least) / (6 * s)
        cpk = min(most - mean, mean - least) / (3 * s)
        for tail, word in ((0.025, "least"), (0.975, "most")):
            show(f"cp {name}, 95 % {word}", cp * np.sqrt(stats.chi2.ppf(tail, n - 1) / (n - 1)))
            z = stats.norm.ppf(tail)
            show(f"cpk {name}, 95 % {word}", cpk + z * np.sqrt(1 / (9 * n) + cpk**2 / (2 * (n - 1))))
        show(f"outside {name}", stats.norm.cdf(least, mean, s) + stats.norm.sf(most, mean, s))


def attributes():
    for bad, gauged, sure in ((0, 60, 0.95), (1, 30, 0.95), (3, 125, 0.9), (17, 40, 0.95), (40, 40, 0.95)):
        low, high = proportion_confint(bad, gauged, 1 - sure, method="beta")
        exact = stats.binomtest(bad, gauged).proportion_ci(sure, "exact")
        low = 0.0 if np.isnan(low) else low
        high = 1.0 if np.isnan(high) else high
        assert abs(low - exact.low) < 1e-9 and abs(high - exact.high) < 1e-9
        show(f"{bad} bad of {gauged}, {sure}, least", low)
        show(f"{bad} bad of {gauged}, {sure}, most", high)
    for share, sure in ((0.01, 0.95), (0.05, 0.95), (0.001, 0.9)):
        n = next(n for n in itertools.count(1) if stats.binom.cdf(0, n, share) <= 1 - sure)
        show(f"good in a row for {share}, {sure}", n)


def times():
    for name, data, over in (("load", LOADS, 1.0), ("cycle", CYCLES, 40.0)):
        x = np.array(data) / over
        low, high = stats.t.interval(0.95, len(x) - 1, x.mean(), stats.sem(x))
        show(f"{name}", x.mean())
        show(f"{name}, 95 % least", low)
        show(f"{name}, 95 % most", high)


def pulls():
    x = np.array(SHORTFALLS)
    n, s = len(x), x.std(ddof=1)
    show("bias", x.mean())
    show("bias, 95 % most", x.mean() + stats.t.ppf(0.975, n - 1) * s / np.sqrt(n))
    show("deviation of a pull", s)
    show("deviation of a pull, 95 % most", s * np.sqrt((n - 1) / stats.chi2.ppf(0.025, n - 1)))


def edges(name, worn, early):
    data = stats.CensoredData(uncensored=worn, right=early)
    shape, _, scale = stats.weibull_min.fit(data, floc=0)

    def likelihood(p):
        return -(stats.weibull_min.logpdf(worn, p[0], 0, p[1]).sum() + stats.weibull_min.logsf(early, p[0], 0, p[1]).sum())

    best = optimize.minimize(likelihood, [shape, scale], method="Nelder-Mead", options={"xatol": 1e-11, "fatol": 1e-13, "maxiter": 20000})
    shape, scale = best.x
    half = scale * np.log(2) ** (1 / shape)

    def profile(m):
        found = optimize.minimize_scalar(lambda log_k: likelihood([np.exp(log_k), m / np.log(2) ** np.exp(-log_k)]),
                                         bounds=(-3, 5), method="bounded", options={"xatol": 1e-12})
        return found.fun - best.fun - stats.chi2.ppf(0.95, 1) / 2

    show(f"{name} shape", shape)
    show(f"{name} scale", scale)
    show(f"{name} half", half)
    show(f"{name} half, 95 % least", optimize.brentq(profile, half / 5, half, xtol=1e-10))
    show(f"{name} half, 95 % most", optimize.brentq(profile, half, half * 5, xtol=1e-10))
    show(f"{name} one in twenty", stats.weibull_min.ppf(0.05, shape, 0, scale))


def run_length(rules, shift):
    """Points to the first that a rule sees, by a chain over what the rules can still remember."""
    edges_of = [-np.inf, -3, -2, -1, 0, 1, 2, 3, np.inf]
    chance = np.diff(stats.norm.cdf(np.array(edges_of) - shift))
    middle = [-3.5, -2.5, -1.5, -0.5, 0.5, 1.5, 2.5, 3.5]

    def step(state, z):
        far, out, side = state
        if 1 in rules and abs(z) > 3:
            return None
        sign = 1 if z > 0 else -1
        far = (far + (sign if abs(z) > 2 else 0,))[-3:]
        out = (out + (sign if abs(z) > 1 else 0,))[-5:]
        side = sign * (abs(side) + 1 if side * sign > 0 else 1)
        if 2 in rules and far[-1] == sign and far.count(sign) >= 2:
            return None
        if 3 in rules and out[-1] == sign and out.count(sign) >= 4:
            return None
        if 4 in rules and abs(side) >= 8:
            return None
        return (far[-2:] if 2 in rules else (), out[-4:] if 3 in rules else (), side if 4 in rules else 0)

    start = ((), (), 0)
    number, todo, rows = {start: 0}, [start], []
    while todo:
        state = todo.pop()
        for z, p in zip(middle, chance):
            to = step(state, z)
            if to is None:
                continue
            if to not in number:
                number[to] = len(number)
                todo.append(to)
            rows.append((number[state], number[to], p))
    size = len(number)
    i, j, p = zip(*rows)
    chain = scipy.sparse.coo_matrix((p, (i, j)), shape=(size, size)).tocsc()
    return scipy.sparse.linalg.spsolve(scipy.sparse.eye(size).tocsc() - chain, np.ones(size))[0]


def runs():
    for rules in ((1,), (1, 2), (1, 3), (1, 4), (1, 2, 3, 4)):
        show(f"average run, rules {' '.join(map(str, rules))}", run_length(rules, 0.0))
    show("average run, rules 1 2 3 4, off by one sigma", run_length((1, 2, 3, 4), 1.0))


print("python", sys.version.split()[0], "numpy", np.__version__, "scipy", scipy.__version__, "statsmodels", statsmodels.__version__)
ranges()
summaries()
wear()
capabilities()
attributes()
times()
pulls()
edges("edges", WORN, EARLY)
edges("lamps", [54, 187, 216, 240, 244, 335, 361, 373, 375, 386], [500] * 10)
runs()
