#!/usr/bin/env python3
"""The cases of `cut_lists.rs` solved by HiGHS, as an outside check of cost and time.

Run by hand only: `pip install highspy numpy`, then
    cargo bench -p barwright-stock -- cases.jsonl
    python3 other_solvers.py cases.jsonl 25 60 > other_solvers.txt
which takes every 25th case with at most 60 s each.

The model is another one than ours: a flow along the bar (arc flow, Valério de Carvalho, Annals of Operations
Research 86 (1999) 629-659, from memory). A node is a length that a sum of blanks, longest first, can reach; an
arc is one blank; what ends on a bar of a kind counts as one of it.
"""
import datetime
import importlib.metadata
import json
import statistics
import sys
import time

import highspy
import numpy as np


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


def solve(case, limit):
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
    return proven, info.objective_function_value, info.mip_dual_bound, seconds, columns


if __name__ == "__main__":
    cases = [json.loads(line) for line in open(sys.argv[1])]
    step, limit = int(sys.argv[2]), float(sys.argv[3])
    print(f"# {datetime.date.today()}, HiGHS {importlib.metadata.version('highspy')}, every {step}th of {len(cases)} cases, at most {limit:.0f} s each")
    print("# case, ours: cost least seconds; HiGHS: proven cost least seconds columns")
    ratios, agree, contradict, proven_count = [], 0, 0, 0
    for number in range(0, len(cases), step):
        case = cases[number]
        proven, cost, bound, seconds, columns = solve(case, limit)
        ours = (case["cost"], case["least"], case["seconds"])
        print(f"{number} {ours[0]} {ours[1]} {ours[2]:.4f} {proven} {cost:.0f} {bound:.1f} {seconds:.3f} {columns}", flush=True)
        # Against each other: a cost below the other's least, in either direction.
        contradict += bound > ours[0] + 0.5 or cost < ours[1] - 0.5
        if proven:
            proven_count += 1
            agree += abs(cost - ours[0]) < 0.5
        ratios.append(seconds / ours[2])
    print(f"# proven by HiGHS in the time: {proven_count}; of these the same cost: {agree}; contradictions: {contradict}")
    print(f"# HiGHS's time over ours, median: {statistics.median(ratios):.0f} (at least: where it ran out of time it counts as that)")
