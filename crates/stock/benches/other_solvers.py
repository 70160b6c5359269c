#!/usr/bin/env python3
"""The cases of `cut_lists.rs` solved by HiGHS and by CP-SAT (OR-Tools), as an outside check of cost and time.

Run by hand only: `pip install highspy ortools numpy`, then from the root of the repository
    cargo bench -p barwright-stock --no-run
    python3 crates/stock/benches/other_solvers.py PROGRAM 40 25
where PROGRAM is the bench that cargo names. Every 40th case is solved by ours, by HiGHS and by CP-SAT one after
another, each on one thread and in the same minute, the others with at most 25 s.

Their model is another one than ours: a flow along the bar (arc flow, Valério de Carvalho, Annals of Operations
Research 86 (1999) 629-659, from memory). A node is a length that a sum of blanks, longest first, can reach; an
arc is one blank; what ends on a bar of a kind counts as one of it.
"""
import datetime
import importlib.metadata
import json
import statistics
import subprocess
import sys
import time

import highspy
import numpy as np
from ortools.sat.python import cp_model


def flow_model(case):
    rows = sorted(case["rows"], reverse=True)
    bars = case["bars"]
    longest = max(room for room, _, _ in bars)
    arcs = []  # (from, to, row)
    reached = {0}
    for index, (length, wanted) in enumerate(rows):
        frontier, count = set(reached), 0
        seen = set()
        while frontier and count < wanted:
            after = set()
            for node in frontier:
                to = node + length
                if to <= longest and (node, index) not in seen:
                    seen.add((node, index))
                    arcs.append((node, to, index))
                    after.add(to)
            reached |= after
            frontier, count = after, count + 1
    nodes = {node: i for i, node in enumerate(sorted(reached))}
    return rows, bars, arcs, nodes


def by_highs(case, limit):
    rows, bars, arcs, nodes = flow_model(case)
    ends = [(node, kind) for node in nodes for kind, (room, _, _) in enumerate(bars) if 0 < node <= room]
    n_arcs, n_ends, n_bars = len(arcs), len(ends), len(bars)
    columns = n_arcs + n_ends + n_bars
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = columns, len(nodes) - 1 + len(rows) + n_bars
    model.col_cost_ = np.array([0.0] * (n_arcs + n_ends) + [float(price) for _, price, _ in bars])
    model.col_lower_ = np.zeros(columns)
    upper = [float(rows[row][1]) for _, _, row in arcs] + [float(sum(w for _, w in rows))] * n_ends
    upper += [float(there) if there is not None else 1e4 for _, _, there in bars]
    model.col_upper_ = np.array(upper)
    # Rows: flow through every node but 0; every length as often as wanted; ends of a kind are bars of it.
    first_row, first_bar = len(nodes) - 1, len(nodes) - 1 + len(rows)
    lower = [0.0] * first_row + [float(w) for _, w in rows] + [0.0] * n_bars
    model.row_lower_ = np.array(lower)
    model.row_upper_ = np.array([0.0] * first_row + [1e9] * len(rows) + [0.0] * n_bars)
    starts, index, value = [0], [], []

    def column(entries):
        for row, figure in entries:
            index.append(row)
            value.append(figure)
        starts.append(len(index))

    for start, end, row in arcs:
        entries = [(nodes[end] - 1, 1.0), (first_row + row, 1.0)]
        if start:
            entries.append((nodes[start] - 1, -1.0))
        column(entries)
    for node, kind in ends:
        column([(nodes[node] - 1, -1.0), (first_bar + kind, 1.0)])
    for kind in range(n_bars):
        column([(first_bar + kind, -1.0)])
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_ = np.array(starts)
    model.a_matrix_.index_ = np.array(index)
    model.a_matrix_.value_ = np.array(value)
    model.integrality_ = [highspy.HighsVarType.kInteger] * columns
    highs = highspy.Highs()
    highs.setOptionValue("output_flag", False)
    highs.setOptionValue("time_limit", float(limit))
    highs.setOptionValue("mip_rel_gap", 0.0)
    highs.setOptionValue("threads", 1)
    highs.passModel(model)
    begin = time.perf_counter()
    highs.run()
    seconds = time.perf_counter() - begin
    info = highs.getInfo()
    proven = highs.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return proven, info.objective_function_value, info.mip_dual_bound, seconds


def by_cp_sat(case, limit):
    rows, bars, arcs, nodes = flow_model(case)
    most = sum(wanted for _, wanted in rows)
    model = cp_model.CpModel()
    flow, made = {node: [] for node in nodes}, [[] for _ in rows]
    for start, end, row in arcs:
        used = model.new_int_var(0, rows[row][1], "")
        flow[end].append(used)
        if start:
            flow[start].append(-used)
        made[row].append(used)
    ended = [[] for _ in bars]
    for node in nodes:
        for kind, (room, _, _) in enumerate(bars):
            if 0 < node <= room:
                used = model.new_int_var(0, most, "")
                flow[node].append(-used)
                ended[kind].append(used)
    for node in nodes:
        if node:
            model.add(sum(flow[node]) == 0)
    for (_, wanted), arcs_of_row in zip(rows, made):
        model.add(sum(arcs_of_row) >= wanted)
    counts = []
    for ends_of_kind, (_, _, there) in zip(ended, bars):
        count = model.new_int_var(0, most if there is None else there, "")
        model.add(sum(ends_of_kind) == count)
        counts.append(count)
    model.minimize(sum(price * count for (_, price, _), count in zip(bars, counts)))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = float(limit)
    solver.parameters.num_workers = 1
    begin = time.perf_counter()
    status = solver.solve(model)
    seconds = time.perf_counter() - begin
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    cost = solver.objective_value if found else float("inf")
    return status == cp_model.OPTIMAL, cost, solver.best_objective_bound, seconds


class Tally:
    """How one solver did beside ours."""

    def __init__(self, name):
        self.name, self.proven, self.agree, self.contradict, self.ratios = name, 0, 0, 0, []

    def add(self, ours, proven, cost, bound, seconds):
        # Against each other: a cost below the other's least, in either direction.
        self.contradict += bound > ours["cost"] + 0.5 or cost < ours["least"] - 0.5
        self.proven += proven
        self.agree += proven and abs(cost - ours["cost"]) < 0.5
        self.ratios.append(seconds / ours["seconds"])

    def told(self):
        print(f"# {self.name}: proven in the time {self.proven} of {len(self.ratios)}; of these the same cost: {self.agree}; contradictions: {self.contradict}")
        print(f"# {self.name}: its time over ours, median: {statistics.median(self.ratios):.0f}, least: {min(self.ratios):.1f} (at least: where it ran out of time it counts as that)")


if __name__ == "__main__":
    step, limit = int(sys.argv[2]), float(sys.argv[3])
    ours = subprocess.Popen([sys.argv[1], "asked"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
    versions = ", ".join(f"{name} {importlib.metadata.version(package)}" for name, package in (("HiGHS", "highspy"), ("CP-SAT of OR-Tools", "ortools")))
    print(f"# {datetime.date.today()}, {versions}, every {step}th of 1000 cases, one thread each, others at most {limit:.0f} s")
    print("# case; ours: cost least seconds; HiGHS and CP-SAT, each: proven cost least seconds")
    highs, cp_sat = Tally("HiGHS"), Tally("CP-SAT")
    proven_here = 0
    for number in range(0, 1000, step):
        ours.stdin.write(f"{number}\n")
        ours.stdin.flush()
        case = json.loads(ours.stdout.readline())
        proven_here += case["cost"] == case["least"]
        words = [f"{number}; {case['cost']} {case['least']} {case['seconds']:.4f}"]
        for tally, solve in ((highs, by_highs), (cp_sat, by_cp_sat)):
            proven, cost, bound, seconds = solve(case, limit)
            tally.add(case, proven, cost, bound, seconds)
            words.append(f"{proven} {cost:.0f} {bound:.1f} {seconds:.3f}")
        print("; ".join(words), flush=True)
    print(f"# ours: proven {proven_here} of {len(highs.ratios)}")
    highs.told()
    cp_sat.told()
