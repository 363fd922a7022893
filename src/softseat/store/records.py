"""What the store hands out and takes in of enquiries, and how it says no."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from softseat.errors import StoreError

Place = tuple[str, int]  # sheet, row from 1
Cell = str | float


class NotKept(StoreError):
    """There is no such thing in the store."""


class Conflict(StoreError):
    """Someone else changed it since it was read: nothing was written."""


@dataclass(frozen=True, slots=True)
class Kept:
    """An enquiry as it stands."""

    id: int
    name: str
    customer: str
    version: int
    layout: Mapping[str, Any]
    reading: Mapping[str, Any]
    rows: Mapping[Place, Sequence[Cell]]
    versions: Mapping[Place, int]
    source_name: str
    source: bytes


@dataclass(frozen=True, slots=True)
class Brief:
    """One line of the list of enquiries."""

    id: int
    name: str
    customer: str
    version: int
    made_at: str
    made_by: str
    revisions: int


@dataclass(frozen=True, slots=True)
class Edit:
    """A cell and what it shall say."""

    sheet: str
    row: int
    column: int  # from 0
    text: Cell
