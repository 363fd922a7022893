"""What one cell says: named values, each with how sure it is; and what a column tells of all its cells."""

from dataclasses import dataclass
from typing import NamedTuple

from softseat.sheet import GIVEN, UNREADABLE
from softseat.tables import column as table_column
from softseat.tables import read as read_table


class Said(NamedTuple):
    """One value that a cell gives to a name. What is no field of its column stands only where no column of its own says it."""

    name: str
    value: float | str | bool
    state: int = GIVEN
    why: str = ""
    inferred: bool = False  # from another field: stands only where the sheet has no column of its own for it


@dataclass(frozen=True, slots=True)
class Column:
    """What is known of a column before its cells are read."""

    heading: str
    place: int
    fields: tuple[str, ...]
    unit: str = ""  # told by the heading or the unit column
    borrowed: str = ""  # told only by other rows or other columns
    decimal: str = ""
    how: str = ""


def unreadable(name: str, why: str = "") -> tuple[Said, ...]:
    """The cell holds something, but not a value of this name."""
    return (Said(name, "", UNREADABLE, why),)


def house_default(key: str) -> float:
    """A default of the house, in the unit of its table."""
    keys = [row["key"] for row in read_table("house_limits")]
    return float(table_column("house_limits", "value")[keys.index(key)])
