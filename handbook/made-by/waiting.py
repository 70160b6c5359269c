"""Lathes that wait for people, worked out apart from the program: pip install numpy; python waiting.py > waiting.txt

Exponential times: the balance equations of the whole chain as a matrix (no product formula), solved by least squares.
What a machine finds that stops: the flow of stops out of each state, counted state by state.
Even service: the chain embedded at the ends of service, each state's arrivals in one service by the binomial law.
"""

import math
import numpy as np


def exponential(n, c, ratio):
    q = np.zeros((n + 1, n + 1))
    for i in range(n):
        q[i, i + 1] += (n - i) * ratio
        q[i + 1, i] += min(i + 1, c)
    q -= np.diag(q.sum(axis=1))
    a = np.vstack([q.T, np.ones(n + 1)])
    b = np.zeros(n + 2)
    b[-1] = 1
    p = np.linalg.lstsq(a, b, rcond=None)[0]
    standing = sum(i * p[i] for i in range(n + 1))
    waiting = sum(max(i - c, 0) * p[i] for i in range(n + 1))
    busy = sum(min(i, c) * p[i] for i in range(n + 1))
    flows = [p[i] * (n - i) for i in range(n + 1)]
    must_wait = sum(flows[c:]) / sum(flows)
    wait = waiting / (sum(flows) * ratio)
    return p, standing, waiting, busy, must_wait, wait


def even(n, ratio):
    """Machines that run on average; service takes 1, running 1/ratio on average."""
    # Standing machines right behind a service: 0 … n-1.
    m = np.zeros((n, n))
    stays = math.exp(-ratio)
    for left in range(n):
        at_start = max(left, 1)
        run = n - at_start
        for more in range(run + 1):
            chance = math.comb(run, more) * (1 - stays) ** more * stays ** (run - more)
            m[left, at_start - 1 + more] += chance
    a = np.vstack([m.T - np.eye(n), np.ones(n)])
    b = np.zeros(n + 1)
    b[-1] = 1
    p = np.linalg.lstsq(a, b, rcond=None)[0]
    cycle = 1 + p[0] / (n * ratio)
    # Each service ends one stop, and stops come from running machines.
    return 1 / cycle / ratio


for n, c, run, service in [(6, 1, 72000, 7200), (4, 1, 1800, 300), (5, 2, 3600, 600), (12, 3, 5400, 900), (8, 1, 1200, 240)]:
    p, standing, waiting, busy, must_wait, wait = exponential(n, c, service / run)
    print(f"{n} machines, {c} people, run {run} s, service {service} s:")
    print(f"  none {p[0]:.9f} two {p[2]:.9f} standing {standing:.9f} waiting {waiting:.9f} busy {busy:.9f}")
    print(f"  share {1 - standing / n:.9f} must wait {must_wait:.9f} not waiting {1 - waiting / n:.9f} wait {wait * service:.6f} s stand {wait * service + service:.6f} s")
for n, ratio in [(5, 0.1), (10, 0.2), (12, 0.05), (3, 0.5)]:
    print(f"{n} machines, even service, ratio {ratio}: {even(n, ratio):.9f} run")
