"""Rows a second of sizing and noise on arrays, against the open library fluids looped with full output, in the same run.

PYTHONPATH=src python benchmarks/flow.py [rows]
"""

import sys
import time
from collections.abc import Callable
from typing import Any

import fluids.control_valve as library
import numpy as np

from softseat.flow.disc import Disc
from softseat.flow.gas import gas_kv
from softseat.flow.liquid import liquid_kv
from softseat.flow.noise_gas import gas_noise
from softseat.flow.noise_liquid import liquid_noise
from softseat.flow.opening import liquid_opening

LOOPED = 4000  # rows of the looped library: its time a row does not depend on their number


def rows(n: int) -> dict[str, np.ndarray]:
    """Duties as an enquiry has them: unequal, some choked, all turbulent."""
    rng = np.random.default_rng(7)
    p1, bore = rng.uniform(2e5, 25e5, n), rng.uniform(0.05, 0.6, n)
    return {
        "p1": p1,
        "p2": p1 * rng.uniform(0.3, 0.98, n),
        "density": rng.uniform(700, 1200, n),
        "pv": rng.uniform(1e3, 5e4, n),
        "pc": rng.uniform(4e6, 22e6, n),
        "fl": rng.uniform(0.5, 0.9, n),
        "xt": rng.uniform(0.25, 0.7, n),
        "bore": bore,
        "flow": 2.0 * bore**2,
        "t1": rng.uniform(260, 420, n),
        "molar_mass": rng.uniform(0.016, 0.044, n),
        "gamma": rng.uniform(1.1, 1.5, n),
        "z": rng.uniform(0.9, 1.0, n),
        "fd": rng.uniform(0.3, 0.57, n),
        "kv": 20000 * bore**2,
        "wall": rng.uniform(0.004, 0.01, n),
        "viscosity": rng.uniform(3e-4, 2e-3, n),
    }


def rate(work: Callable[[], Any], n: int, repeats: int = 5) -> float:
    """Rows a second of processor time (the machine may be shared), best of some runs."""
    best = np.inf
    for _ in range(repeats):
        start = time.process_time()
        work()
        best = min(best, time.process_time() - start)
    return n / best


def ours(r: dict[str, np.ndarray]) -> dict[str, Callable[[], Any]]:
    liquid = {k: r[k] for k in ("flow", "p1", "p2", "density", "pv", "pc", "fl")}
    gas = {k: r[k] for k in ("flow", "p1", "p2", "t1", "molar_mass", "gamma", "z", "xt", "fl")}
    piping = {"fd": r["fd"], "valve_bore": r["bore"]}
    reducers = {**piping, "pipe_in": 1.25 * r["bore"], "pipe_out": 1.25 * r["bore"]}
    mass, sound = 40 * r["bore"] ** 2, np.full_like(r["p1"], 1450.0)
    shared = {"kv": r["kv"], "valve_bore": r["bore"], "pipe_bore": r["bore"], "wall": r["wall"], "fl": r["fl"], "fd": r["fd"]}
    states = {k: r[k] for k in ("p1", "p2", "pv", "density")}
    return {
        "liquid-kv": lambda: liquid_kv(**liquid, viscosity=r["viscosity"], **piping),
        "gas-kv": lambda: gas_kv(**gas, viscosity=np.full_like(r["p1"], 1.8e-5), **piping),
        "liquid-noise": lambda: liquid_noise(50 * mass, sound_speed=sound, **states, **shared),
        "gas-noise": lambda: gas_noise(mass, r["p1"], r["p2"], r["t1"], r["p1"] / 8e4, r["gamma"], r["molar_mass"], **shared),
        "liquid-kv with reducers": lambda: liquid_kv(**liquid, viscosity=r["viscosity"], **reducers),
        "gas-kv with reducers": lambda: gas_kv(**gas, viscosity=np.full_like(r["p1"], 1.8e-5), **reducers),
        "opening, three ends": lambda: liquid_opening(Disc(r["bore"]), *(liquid[k] for k in list(liquid)[:-1])),
    }


def theirs(r: dict[str, np.ndarray]) -> dict[str, Callable[[], Any]]:
    """The same rows one by one; names as in ``ours``."""
    lists = {k: v.tolist() for k, v in r.items()}
    rs = [dict(zip(lists, row, strict=True)) for row in zip(*lists.values(), strict=True)]

    def liquid() -> None:
        for x in rs:
            library.size_control_valve_l(
                x["density"], x["pv"], x["pc"], x["viscosity"], x["p1"], x["p2"], x["flow"],
                x["bore"], x["bore"], x["bore"], x["fl"], x["fd"], full_output=True,
            )  # fmt: skip

    def gas() -> None:
        for x in rs:
            library.size_control_valve_g(
                x["t1"], 1e3 * x["molar_mass"], 1.8e-5, x["gamma"], x["z"], x["p1"], x["p2"], x["flow"],
                x["bore"], x["bore"], x["bore"], x["fl"], x["fd"], x["xt"], full_output=True,
            )  # fmt: skip

    def liquid_sound() -> None:
        for x in rs:
            library.control_valve_noise_l_2015(
                2000 * x["bore"] ** 2, x["p1"], x["p2"], x["pv"], x["density"], 1450.0, x["kv"], x["bore"], x["bore"],
                x["fl"], x["fd"], x["wall"], An=-4.3,
            )  # fmt: skip

    def gas_sound() -> None:
        for x in rs:
            library.control_valve_noise_g_2011(
                40 * x["bore"] ** 2, x["p1"], x["p2"], x["t1"], x["p1"] / 8e4, x["gamma"], 1e3 * x["molar_mass"], x["kv"],
                x["bore"], x["bore"], x["wall"], x["fd"], x["fl"], An=-4.2, Stp=0.3,
            )  # fmt: skip

    return {"liquid-kv": liquid, "gas-kv": gas, "liquid-noise": liquid_sound, "gas-noise": gas_sound}


def main() -> None:
    n = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    peers = theirs(rows(LOOPED))
    print(f"{'':28}{'rows/s':>14}{'fluids, looped':>18}{'times':>8}")
    for name, work in ours(rows(n)).items():
        mine = rate(work, n)
        peer = rate(peers[name], LOOPED, 3) if name in peers else np.nan
        print(f"{name:28}{mine:14,.0f}{peer:18,.0f}{mine / peer:8.1f}")


if __name__ == "__main__":
    main()
