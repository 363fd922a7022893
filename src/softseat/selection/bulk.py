"""Very many items: decided part by part, on as many processors as are told, and given as flat columns or a table to be filed."""

from collections.abc import Iterator, Mapping
from concurrent.futures import Future, ProcessPoolExecutor
from itertools import islice

import numpy as np
import pyarrow

from softseat.maker.package import Maker
from softseat.names import names
from softseat.selection.decide import Decision, decide
from softseat.selection.parted import PART, of_schedule, split
from softseat.selection.verdict import WORDS
from softseat.sheet import Sheet

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
        Items that are decided at once.
    processors : int
        How many work side by side.
    """
    parts = split(of_schedule(sheet, part), part)
    if processors == 1:
        for one in parts:
            yield columns(decide(one, maker, thorough=False))
        return
    with ProcessPoolExecutor(processors, initializer=_begin, initargs=(maker,)) as pool:
        waiting: list[Future[dict[str, np.ndarray]]] = [pool.submit(_columns_of, one) for one in islice(parts, AHEAD * processors)]
        while waiting:
            yield waiting.pop(0).result()
            waiting += [pool.submit(_columns_of, one) for one in islice(parts, 1)]


_shared: dict[str, Maker] = {}


def _begin(maker: Maker) -> None:
    _shared["maker"] = maker


def _columns_of(sheet: Sheet) -> dict[str, np.ndarray]:
    return columns(decide(sheet, _shared["maker"], thorough=False))
