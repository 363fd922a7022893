"""A works record: what was measured on one valve, read from a file by hand or by machine, and the result of each of its tests."""

import json
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from softseat.errors import InputError
from softseat.selection.item import Item
from softseat.tables import Row, read

IDENTITY = (
    "tag", "serial", "build", "order_position", "date", "inspector", "independent", "liner_batch", "cure_date", "heat", "gauges", "remarks",
)  # fmt: skip
ALSO = ("torque_close",)
PARTS = ("body", "disc", "shaft")
IN_ORDER = "in order"  # what is required of a test that is looked at


@dataclass(frozen=True, slots=True)
class Result:
    """One test of one valve. ``passed`` is None where nothing was measured and nothing had to be."""

    key: str
    what: str
    required: str
    measured: str
    passed: bool | None
    text: str = ""  # why not, or what was remarkable
    source: str = ""


@dataclass(frozen=True, slots=True)
class WorksRecord:
    """A judged record: it passes only as a whole."""

    tag: str
    serial: str
    build: str
    date: str
    inspector: str
    independent: bool  # of the department that made the valve, as EN 10204 3.1 wants it
    liner_batch: str
    cure_date: str
    heat: Mapping[str, str]
    gauges: tuple[Mapping[str, str], ...]
    results: tuple[Result, ...]
    values: Mapping[str, float]  # measured figures in SI, for feedback and watch
    remarks: str = ""

    @property
    def passed(self) -> bool:
        """True where every test that the plan asks of each valve was made and held."""
        return bool(self.results) and all(r.passed is not False for r in self.results)

    @property
    def faults(self) -> tuple[Result, ...]:
        """What did not hold, what was not measured, what could not be told."""
        return tuple(r for r in self.results if r.passed is False)


def read_records(path: Path) -> list[dict[str, Any]]:
    """Records of a file: JSON (one object or a list) or TOML (one table, or an array ``valve``).

    A pressure test may name a ``log``: a text file of the bench beside the record.

    Raises
    ------
    InputError
        Where the file cannot be read or holds a key that no record has.
    """
    try:
        text = path.read_text("utf-8-sig")
        told = tomllib.loads(text) if path.suffix.lower() == ".toml" else json.loads(text)
    except (OSError, UnicodeDecodeError, ValueError) as error:
        raise InputError(f"works record {path.name}: cannot be read ({error}); allowed are JSON and TOML") from None
    found = told.get("valve", [told]) if isinstance(told, dict) else told
    if not isinstance(found, list) or not all(isinstance(r, dict) for r in found):
        raise InputError(f"works record {path.name}: wanted is one object, or a list of them, one a valve")
    return [_with_logs(checked(r), path.parent) for r in found]


def checked(record: Mapping[str, Any]) -> dict[str, Any]:
    """The record with known keys only.

    Raises
    ------
    InputError
        Where a key is none of a record's: a measured value would be lost in silence.
    """
    allowed = [*IDENTITY, *dict.fromkeys(r["key"] for r in read("works_tests")), *ALSO]
    for key in record:
        if key not in allowed:
            raise InputError(f"works record {record.get('serial', '')!s}: {key!r} is not known; allowed are {', '.join(allowed)}")
    return dict(record)


def _with_logs(record: dict[str, Any], folder: Path) -> dict[str, Any]:
    """Each log that is named by its file stands as its text."""
    for key, value in record.items():
        name = value.get("log") if isinstance(value, dict) else None
        if isinstance(name, str) and "\n" not in name:
            try:
                record[key] = {**value, "log": (folder / name).read_text("utf-8-sig"), "log_file": name}
            except (OSError, UnicodeDecodeError) as error:
                raise InputError(f"works record, {key}: log {name!r} cannot be read ({error})") from None
    return record


def wanted(item: Item) -> Iterator[tuple[Mapping[str, Any], Row]]:
    """Lines of this valve's plan that a record answers, each with how it is judged."""
    rows = read("works_tests")
    for line in item.tests.get("plan") or ():
        for row in rows:
            if row["stage"] == line["stage"] and str(line["characteristic"]).startswith(row["plan"]):
                yield line, row
                break


def blank_record(item: Item) -> dict[str, Any]:
    """A record to be filled in for one valve of this item, with the keys that its plan asks for."""
    values: dict[str, Any] = {"tag": item.tag, "serial": "", "build": (item.choice or {}).get("build", ""), "date": "", "inspector": ""}
    values |= {"independent": False, "liner_batch": "", "cure_date": "", "heat": dict.fromkeys(PARTS, ""), "gauges": []}
    for _, row in wanted(item):
        values[row["key"]] = {
            "hold": {"pressure": "", "time": "", "leak": ""},
            "readings": [],
            "coat": [],
            "most": "",
            "seen": "",
            "age": "",
        }[row["kind"]]
    return values
