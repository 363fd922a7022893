"""Are the tests worth it: modules drawn at random, some of their possible faults made one by one, each module's own tests run.

PYTHONPATH=src python benchmarks/mutation.py COPY [seed] [faults a module]      COPY: a copy of the tree, for files are changed in place

Outside the tests of every day: it takes an hour. The faults are made by cosmic-ray.
"""

import random
import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path

ROOMS = ("flow", "seat", "torque", "piping", "pressure", "materials", "selection")
MODULES, SEED, FAULTS = 6, 20, 40
CONFIG = """[cosmic-ray]
module-path = "src/softseat/{module}.py"
timeout = 120.0
excluded-modules = []
test-command = "{python} -m pytest -q -x -p no:cacheprovider {tests}"

[cosmic-ray.distributor]
name = "local"
"""


def drawn(tree: Path, seed: int) -> list[str]:
    """Modules with a test of their own name, at random."""
    known = [
        f"{room}/{file.stem}"
        for room in ROOMS
        for file in sorted((tree / "src" / "softseat" / room).glob("*.py"))
        if (tree / "tests" / room / f"test_{file.stem}.py").exists()
    ]
    return random.Random(seed).sample(known, MODULES)


def tests_of(tree: Path, module: str) -> str:
    """Its own tests, and those of its room that recompute published values or hold every answer of a calculation to its reason."""
    room, name = module.split("/")
    shared = [f"tests/{room}/test_{n}.py" for n in ("checks", "published")]
    return " ".join([f"tests/{room}/test_{name}.py", *(s for s in shared if (tree / s).exists())])


def ray(*words: str, tree: Path) -> str:
    program = shutil.which("cosmic-ray") or str(Path(sys.executable).with_name("cosmic-ray"))
    return subprocess.run([program, *words], cwd=tree, check=True, capture_output=True, text=True).stdout


def judged(tree: Path, module: str, seed: int, faults: int) -> tuple[int, list[str]]:
    """How many faults were made, and those that no test saw."""
    session, config = tree / "session.sqlite", tree / "session.toml"
    session.unlink(missing_ok=True)
    config.write_text(CONFIG.format(module=module, python=sys.executable, tests=tests_of(tree, module)))
    ray("init", config.name, session.name, tree=tree)
    with sqlite3.connect(session) as kept:
        jobs = sorted(row[0] for row in kept.execute("select job_id from work_items"))
        spared = random.Random(seed).sample(jobs, max(0, len(jobs) - faults))
        for table in ("mutation_specs", "work_items"):
            kept.executemany(f"delete from {table} where job_id = ?", [(job,) for job in spared])
    ray("exec", config.name, session.name, tree=tree)
    with sqlite3.connect(session) as kept:
        made = kept.execute(
            "select m.operator_name, m.start_pos_row, r.test_outcome, r.diff from mutation_specs m join work_results r using (job_id)"
        ).fetchall()
    alive = [
        f"{module}.py:{row} {operator.split('/')[-1]}\n{diff}" for operator, row, outcome, diff in made if "KILLED" not in str(outcome)
    ]
    return len(made), alive


def main() -> None:
    tree = Path(sys.argv[1]).resolve()
    seed, faults = (int(w) for w in [*sys.argv[2:4], *(SEED, FAULTS)[len(sys.argv[2:4]) :]])
    total, missed = 0, 0
    for module in drawn(tree, seed):
        made, alive = judged(tree, module, seed, faults)
        total, missed = total + made, missed + len(alive)
        print(f"{module}: {made - len(alive)} of {made} seen", *alive, sep="\n", flush=True)
    print(f"seed {seed}: {total - missed} of {total} seen, {(total - missed) / max(total, 1):.0%}")


if __name__ == "__main__":
    main()
