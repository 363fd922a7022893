"""A maker's package read into columns: plain CSV beside a ``datapackage.json``, numbers in SI, words as they stand."""

import csv
import functools
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Any

import numpy as np

from softseat.errors import DataError, UnknownName
from softseat.names import names
from softseat.units import SI, to_si

SHIPPED = Path(__file__).parent / "data"
DESCRIPTOR = "datapackage.json"
INVENTED = "invented"
_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?")  # no nan, no 1_000, no decimal comma


@dataclass(frozen=True, slots=True)
class Maker:
    """What one maker offers: columns by table. A package with one invented figure is an invented one."""

    name: str
    title: str
    invented: bool
    folder: Path
    tables: Mapping[str, Mapping[str, np.ndarray]]

    def table(self, name: str) -> Mapping[str, np.ndarray]:
        """The columns of one table: numbers in SI (nan where a cell is empty), words as unicode arrays."""
        try:
            return self.tables[name]
        except KeyError:
            raise UnknownName(f"maker's data {self.name!r} has no table {name!r}; it has {', '.join(self.tables)}") from None


def head(text: str) -> tuple[str, str | None]:
    """A heading such as ``face_to_face [mm]`` as name and unit; no unit: a column of words."""
    name, bracket, unit = text.partition("[")
    return name.strip(), unit.rstrip("] ") if bracket else None


def factor(name: str, unit: str) -> tuple[float, float]:
    """Slope and shift that bring a number under this heading to SI; the vocabulary's own unit (kv in m3/h, degrees) stays.

    Raises
    ------
    UnknownName
        Where the unit is not known.
    """
    known = names().get(name)
    if known is not None and unit == known.unit:
        return 1.0, 0.0
    if unit in SI:
        shift = float(to_si(0.0, unit))
        return float(to_si(1.0, unit)) - shift, shift
    if known is not None and (unit, "-") == (known.shown, known.unit):  # a scale of its own, such as Shore A
        return 1.0, 0.0
    above, bar, below = unit.partition("/")
    if bar and above in SI and below in SI:
        return float(to_si(1.0, above)) / float(to_si(1.0, below)), 0.0
    raise UnknownName(f"unit {unit!r} of {name!r} is not known; known are {', '.join(sorted(SI))}")


def number(cell: str) -> float:
    """A cell as a number; nan where it is empty.

    Raises
    ------
    ValueError
        Where it holds anything else.
    """
    text = cell.strip()
    if text and not _NUMBER.fullmatch(text):
        raise ValueError(text)
    return float(text or "nan")


def lines(file: Path) -> list[tuple[int, list[str]]]:
    """The lines of a CSV file with their number in it; blank ones and remarks (``#``) left out.

    Raises
    ------
    DataError
        Where the file cannot be read as UTF-8 text.
    """
    try:
        with file.open(encoding="utf-8-sig", newline="") as stream:
            reader = csv.reader(stream, strict=True)
            return [(reader.line_num, cells) for cells in reader if any(cells) and not cells[0].lstrip().startswith("#")]
    except FileNotFoundError:
        raise DataError(f"{file.name}: the file is named in {DESCRIPTOR} but is not in {file.parent}") from None
    except (UnicodeDecodeError, csv.Error) as mistake:
        raise DataError(f"{file.name}: cannot be read as comma-separated UTF-8 text ({mistake})") from None


def descriptor(folder: Path) -> dict[str, Any]:
    """The ``datapackage.json`` of a folder.

    Raises
    ------
    DataError
        Where there is none, or it is not a data package.
    """
    file = folder / DESCRIPTOR
    try:
        told = json.loads(file.read_text("utf-8"))
    except FileNotFoundError:
        raise DataError(f"{folder}: no {DESCRIPTOR} there; `softseat maker new` writes one to fill") from None
    except (ValueError, UnicodeDecodeError) as mistake:
        raise DataError(f"{file.name}: is not JSON ({mistake})") from None
    if not isinstance(told, dict) or not isinstance(told.get("resources"), list):
        raise DataError(f"{file.name}: wants an object with name, title and a list of resources")
    if not all(isinstance(r, dict) and isinstance(r.get("name"), str) and _inside(r.get("path")) for r in told["resources"]):
        raise DataError(f"{file.name}: every resource wants a name and a path inside the folder")
    return told


def _inside(path: object) -> bool:
    """A package reads nothing outside of its own folder."""
    return isinstance(path, str) and not Path(path).is_absolute() and ".." not in Path(path).parts


def _numbers(file: str, heading: str, cells: list[tuple[int, str]]) -> np.ndarray:
    name, unit = head(heading)
    slope, shift = factor(name, unit or "-")
    values = np.full(len(cells), np.nan)
    for place, (row, cell) in enumerate(cells):
        try:
            values[place] = number(cell) * slope + shift
        except ValueError:
            raise DataError(f"{file}, row {row}, column {heading!r}: {cell!r} is not a number [{unit}]") from None
    return values


def _column(file: str, heading: str, cells: list[tuple[int, str]]) -> np.ndarray:
    if head(heading)[1] is None:
        column = np.array([cell.strip() for _, cell in cells], dtype=np.str_)
    else:
        try:
            column = _numbers(file, heading, cells)
        except UnknownName as mistake:
            raise DataError(f"{file}, heading {heading!r}: {mistake}") from None
    column.flags.writeable = False
    return column


def _table(file: Path) -> Mapping[str, np.ndarray]:
    found = lines(file)
    if not found:
        raise DataError(f"{file.name}: has no headings")
    (_, heads), *body = found
    for row, cells in body:
        if len(cells) != len(heads):
            raise DataError(f"{file.name}, row {row}: {len(cells)} cells under {len(heads)} headings")
    columns = {head(h)[0]: _column(file.name, h, [(row, cells[i]) for row, cells in body]) for i, h in enumerate(heads)}
    if len(columns) != len(heads):
        raise DataError(f"{file.name}: a heading stands twice")
    return MappingProxyType(columns)


@functools.lru_cache(maxsize=8)
def _load(folder: Path, _stamp: tuple[tuple[str, int, int], ...]) -> Maker:
    told = descriptor(folder)
    tables = {r["name"]: _table(folder / r["path"]) for r in told["resources"]}
    name = str(told.get("name", folder.name))
    invented = any((t["basis"] == INVENTED).any() for t in tables.values() if "basis" in t)
    return Maker(name, str(told.get("title", name)), invented, folder, MappingProxyType(tables))


def load(folder: Path | None = None) -> Maker:
    """The maker's data of a folder, the shipped (invented) ones without; read again only when a file there has changed.

    Raises
    ------
    DataError
        Where a file is missing or cannot be read: names file, row, column and what is allowed.
    """
    place = (SHIPPED if folder is None else Path(folder)).resolve()
    if not place.is_dir():
        raise DataError(f"maker's data: {folder} is not a folder")
    files = sorted(f for f in place.rglob("*") if f.suffix in (".csv", ".json"))
    return _load(place, tuple((f.name, (s := f.stat()).st_mtime_ns, s.st_size) for f in files))
