"""Very many items: decided part by part, on as many processors as are told, and given as flat columns or a table to be filed."""

import json
from collections.abc import Iterator, Mapping
from concurrent.futures import Future, ProcessPoolExecutor
from dataclasses import replace
from itertools import islice
from multiprocessing import get_context
from pathlib import Path

import numpy as np
import pyarrow
from pyarrow import parquet

from softseat.maker.package import Maker
from softseat.names import names
from softseat.selection.decide import Decision, decide
from softseat.selection.parted import PART, even, of_schedule, split
from softseat.selection.verdict import WORDS
from softseat.sheet import Origin, Sheet

AHEAD = 2  # parts a processor that wait ready
WORDED = (
    "tag", "medium", "state", "body_style", "rating", "drilling", "body", "liner", "liner_grade", "liner_build", "disc", "coating", "shaft",
    "bush", "operator", "operator_key", "top_flange", "fail", "category",
)  # fmt: skip
NUMBERED = (
    "quantity", "dn", "pn_valve", "p1", "p_highest", "t_min", "t_max", "shutoff", "actual_flow", "velocity", "kv_full", "kv_needed",
    "opening_normal", "sigma_margin", "noise", "torque_required", "shaft_limit", "operator_margin", "valve_rating", "bore_gap", "mass",
    "face_to_face_series", "stroke_time", "critical_time", "surge_pressure",
)  # fmt: skip
UNNAMED = {"pn_valve": "bar", "actual_flow": "m3/s"}
ENDS = ("low", "value", "high")
Columns = Mapping[str, np.ndarray]


def columns(decision: Decision) -> dict[str, np.ndarray]:
    """One flat column a number (SI, with the ends of its band), a word, a verdict and a rule (1 holds, 0 does not, -1 cannot say)."""
    sheet = decision.offered
    found: dict[str, np.ndarray] = {"as_asked": WORDS[decision.as_asked], "offered": WORDS[decision.as_offered]}
    found |= {name: sheet[name] for name in WORDED}
    for name in NUMBERED:
        value = sheet[name]
        found |= {f"{name}_{end}": value[k] for k, end in enumerate(ENDS)} if value.ndim == 2 else {name: value}
    for when, judged in (("asked", decision.judged_asked), ("offered", decision.judged_offered)):
        found |= {f"{rule}_{when}": said for rule, said in judged.items()}
    return found


def table(decision: Decision) -> pyarrow.Table:
    """The columns of a decision as a table that Parquet holds; units stand in the metadata of each column, nan is null."""
    return filed(columns(decision))


def filed(found: Columns) -> pyarrow.Table:
    """Flat columns as a table; the same columns and types whatever is in them, so that parts can be put one behind the other."""
    arrays, heads = [], []
    for name, column in found.items():
        words = column.dtype.kind == "U"
        array = pyarrow.array(column.tolist(), pyarrow.string()) if words else pyarrow.array(column, from_pandas=True)  # nan is null
        arrays.append(array)
        heads.append(pyarrow.field(name, array.type, metadata={"unit": unit} if (unit := _unit(name)) else None))
    return pyarrow.table(arrays, schema=pyarrow.schema(heads))


def _unit(name: str) -> str:
    plain = next((name.removesuffix(f"_{end}") for end in ENDS if name.endswith(f"_{end}") and name not in names()), name)
    entry = names().get(plain)
    return entry.unit if entry else UNNAMED.get(plain, "")


def decided(sheet: Sheet, maker: Maker, part: int = PART, processors: int = 1) -> Iterator[dict[str, np.ndarray]]:
    """Flat columns of part after part, in the order of the items: to the last bit what ``decide`` says of them all at once.

    Parameters
    ----------
    sheet : Sheet
        The items of an enquiry.
    maker : Maker
        The maker's data.
    part : int
        Items that are decided at once, at most.
    processors : int
        How many work side by side.
    """
    size = even(len(sheet), part, processors)
    if processors == 1 or len(sheet) <= size:
        for one in split(of_schedule(sheet, part), size):
            yield columns(decide(one, maker, thorough=False))
        return
    fresh = get_context("spawn")  # a copy of a process with threads (a server, a cluster) may stand still for ever
    sent = replace(maker, tables={name: dict(table) for name, table in maker.tables.items()})
    with ProcessPoolExecutor(processors, fresh, initializer=_begin, initargs=(sent,)) as pool:
        for _ in range(processors):
            pool.submit(len, ())  # they start while the schedule is looked through
        parts = split(of_schedule(sheet, part), size)
        waiting: list[Future[dict[str, np.ndarray]]] = [pool.submit(_columns_of, one) for one in islice(parts, AHEAD * processors)]
        while waiting:
            yield waiting.pop(0).result()
            waiting += [pool.submit(_columns_of, one) for one in islice(parts, 1)]


_shared: dict[str, Maker] = {}


def _begin(maker: Maker) -> None:
    _shared["maker"] = maker


def _columns_of(sheet: Sheet) -> dict[str, np.ndarray]:
    return columns(decide(sheet, _shared["maker"], thorough=False))


def write_part(sheet: Sheet, file: Path) -> Path:
    """A part of an enquiry as a Parquet file, so that any engine can carry it to where it is decided."""
    held = {f"{name} {k}" if value.ndim == 2 else name: column for name, value in sheet.values.items() for k, column in _rows(value)}
    held |= {f"{name} state": state for name, state in sheet.state.items()}
    arrays = [pyarrow.array(c.tolist() if c.dtype.kind == "U" else c) for c in held.values()]  # nan stays nan
    sparse = {
        "origin": [(n, name, o.sheet, o.row, o.column, o.text) for (n, name), o in sheet.origin.items()],
        "why": [(n, name, why) for (n, name), why in sheet.why.items()],
    }
    table = pyarrow.table(arrays, list(held)).replace_schema_metadata({name: json.dumps(told) for name, told in sparse.items()})
    parquet.write_table(table, file)
    return file


def _rows(value: np.ndarray) -> list[tuple[int, np.ndarray]]:
    return list(enumerate(value)) if value.ndim == 2 else [(0, value)]


def read_part(file: Path) -> Sheet:
    """The part as it was written."""
    table = parquet.read_table(file)
    columns = {name: _array(table[name]) for name in table.column_names}
    values: dict[str, np.ndarray] = {}
    for name, column in columns.items():
        plain, _, kind = name.partition(" ")
        if kind.isdigit():
            values[plain] = column if kind == "0" else np.vstack([values[plain], column])
        elif not kind:
            values[plain] = column
    told = {name.decode(): json.loads(text) for name, text in table.schema.metadata.items()}
    return Sheet(
        values,
        {name.removesuffix(" state"): column for name, column in columns.items() if name.endswith(" state")},
        {(n, name): Origin(*cell) for n, name, *cell in told["origin"]},
        {(n, name): why for n, name, why in told["why"]},
    )


def _array(column: pyarrow.ChunkedArray) -> np.ndarray:
    words = pyarrow.types.is_string(column.type)
    return np.array(column.to_pylist(), dtype=np.str_) if words else np.asarray(column.to_numpy())


def decide_part(file: Path, target: Path, maker: Maker) -> Path:
    """One part decided from file to file: pure but for the two, so that it can be mapped over parts on any number of machines."""
    parquet.write_table(table(decide(read_part(file), maker, thorough=False)), target)
    return target
