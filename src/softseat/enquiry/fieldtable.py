"""The fields of an enquiry: what is asked for, with which question, and what stands where nothing was said."""

import functools
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from softseat.errors import UnknownName
from softseat.names import names
from softseat.tables import read

# columns that the reader adds to the fields: what the cells betray beside their value
ADDED = (
    "concentration", "mass_flow", "mass_flow_min", "mass_flow_max", "flow_bare", "flow_kind", "size_bare", "dn", "p_kind", "p1_typed",
    "p_min_typed", "rating_system", "pn", "liner_typed", "liner_old_name", "t_excursion", "excursion_time", "excursion_count", "ph_min",
    "ph_max", "opening", "tags_count", "kinematic_viscosity",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Field:
    """One key of the enquiry with its question; several keys may share a row of the table."""

    key: str
    field: str
    question: str
    default: str
    needed_for: str
    rank: str
    unit: str


@functools.cache
def fields() -> Mapping[str, Field]:
    """Every field by its key, in the order of the table."""
    return {
        key: Field(key, row["field"], row["question"], row["default"], row["needed_for"], row["rank"], row["unit"])
        for row in read("fields")
        for key in row["keys"].split()
    }


@functools.cache
def columns() -> Mapping[str, str]:
    """Every column of an enquiry's Sheet with its kind: number, flag or text."""
    known = names()
    kinds = {key: known[key].kind if key in known else "text" for key in (*fields(), *ADDED)}
    return {key: kind if kind in ("number", "flag") else "text" for key, kind in kinds.items()}


def inside_unit(key: str) -> str:
    """The unit in which the Sheet holds a number."""
    return names()[key].unit


def shown_unit(key: str) -> str:
    """The unit that a bare number of this field is taken in."""
    return names()[key].shown


def empty(key: str, count: int) -> np.ndarray:
    """A column in which nothing is known."""
    kind = columns()[key]
    if kind == "number":
        return np.full(count, np.nan)
    return np.zeros(count, bool) if kind == "flag" else np.full(count, "", "U1")


def checked(key: str) -> str:
    """The key, if the enquiry has it or it begins with an underscore (read and kept, never a value).

    Raises
    ------
    UnknownName
        Naming what is allowed.
    """
    if key in columns() or key.startswith("_"):
        return key
    raise UnknownName(f"field {key!r} is not known; known are {', '.join(columns())}")
