"""Surge: one run and many against the open library tsnet on the same grid, and the time of one item's answer.

PYTHONPATH=src python benchmarks/surge.py            our side
python benchmarks/surge.py tsnet                     the library's side, in its own environment (tsnet 0.3.1 needs numpy below 2.4)
"""

import contextlib
import io
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

REACHES, STEPS = 100, 1500
NETWORK = """[JUNCTIONS]
J0 0 0
J1 0 0
J2 0 0
J3 0 0
[RESERVOIRS]
R1 120
R2 95
[PIPES]
P0 R1 J0 400 300 0.1 0 Open
P1 J0 J1 400 300 0.1 0 Open
P2 J2 J3 200 250 0.1 0 Open
P3 J3 R2 200 250 0.1 0 Open
[VALVES]
V1 J1 J2 250 TCV 8.0 0
[TIMES]
Duration 0
[OPTIONS]
Units LPS
Headloss D-W
[END]
"""
STEP = 800 / 1000 / REACHES  # [s]


def best_of(work: Callable[[], Any], repeats: int = 3) -> float:
    best = np.inf
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - start)
    return best


def theirs() -> None:
    import tsnet

    share = np.arange(100, -1, -5.0)
    with tempfile.TemporaryDirectory() as folder, contextlib.redirect_stdout(io.StringIO()):
        path = Path(folder) / "line.inp"
        path.write_text(NETWORK)
        model = tsnet.network.TransientModel(str(path))
        model.set_wavespeed(1000.0)
        model.set_time(STEPS * STEP, STEP)
        model.valve_closure("V1", [3.0, 0.0, 0.0, 1], list(zip(share, (share / 100) ** 3 / 8, strict=True)))
        model = tsnet.simulation.Initializer(model, 0, "DD")
        start = time.perf_counter()
        tsnet.simulation.MOCSimulator(model, results_obj=str(Path(folder) / "results"))
        taken = time.perf_counter() - start
    print(f"tsnet, one run of {REACHES + REACHES // 2} reaches and {STEPS} steps: {taken:.4f} s")


def ours() -> None:
    from softseat.flow.curves import kv_curve
    from softseat.flow.surge_case import MEMBERS, OPENINGS, Case, Stroke, closings, safe_strokes
    from softseat.flow.surge_line import Boundary, Pipe, line, steady_flow
    from softseat.flow.surge_march import march

    def run(runs: int) -> float:
        closing = np.linspace(0.5, 6.0, runs)
        pipe = line([Pipe(np.full(runs, 800.0), 0.3, 0.0164, 1000)], [Pipe(400, 0.25, 0.0168, 1000)], REACHES)
        source, end = Boundary(120.0), Boundary(95.0)

        def valve(t: np.ndarray) -> np.ndarray:
            return np.asarray(0.0769 * np.clip(1 - t / closing, 0, 1) ** 1.5)

        flow = steady_flow(pipe, source, end, 0.0769)
        return best_of(lambda: march(pipe, source, end, flow, valve, STEPS))

    for runs in (1, 100):
        print(f"march, {runs} runs of {REACHES + REACHES // 2} reaches and {STEPS} steps: {run(runs):.4f} s")
    kv = kv_curve(np.array([0.5]), OPENINGS[:, None])
    bands = np.array([[800.0], [1000.0], [1250.0]]), np.array([[0.012], [0.017], [0.024]])
    one = Case(*(np.array([v]) for v in (640.0, 0.5, 0.583, 12.0, np.nan)), *bands, kv, np.array([90.0]), np.zeros(1))
    many = one.take(np.zeros(1000, int))
    strokes = np.linspace(1.0, 60.0, 1000)
    for reaches in (4, 20):
        taken = best_of(lambda reaches=reaches: closings(many, Stroke(strokes), reaches, members=MEMBERS[:1]))  # type: ignore[misc]
        print(f"1000 closing times of one item, {reaches} reaches: {taken:.3f} s")
    crowd, even = one.take(np.zeros(10_000, int)), Stroke(np.full(10_000, 9.0))
    print(f"10 000 items, best and six ends each, coarse: {best_of(lambda: closings(crowd, even), 1):.2f} s")
    taken = best_of(lambda: safe_strokes(one, np.array([100.0]), np.array([1.28]), 3600.0))
    print(f"safe stroke of one item with its band: {taken:.3f} s")


if __name__ == "__main__":
    theirs() if sys.argv[1:] == ["tsnet"] else ours()
