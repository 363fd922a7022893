"""A torque measured at the works becomes a tested figure of the maker, which narrows the band of that size from then on."""

import csv
import io
import shutil
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from softseat.errors import InputError
from softseat.maker.package import Maker, head
from softseat.selection.item import Item
from softseat.torque.terms import bearing_torque
from softseat.torque.valve import Condition, seat_torque
from softseat.units import from_si
from softseat.works.build import bush_friction, disc_build, dn_of, made_of, pn_of
from softseat.works.practice import practice
from softseat.works.record import WorksRecord

FILE = "torque.csv"
KEYS = ("dn", "pn", "disc_build")
COMPOUND = "liner_grade"  # beside the columns of the schema: a torque belongs to the compound it was measured with


@dataclass(frozen=True, slots=True)
class Tested:
    """One row for the maker's torque table: rim and hub, new, wet, at room temperature, no difference."""

    dn: float
    pn: float
    disc_build: str
    liner_grade: str
    torque: float  # median of the valves [N m]
    valves: int
    lowest: float
    highest: float
    text: str  # from what it was made


def seat_part(item: Item, record: WorksRecord, maker: Maker) -> float:
    """Torque of rim and hub without difference, from the torque that was measured to leave the seat. [N m]

    A torque taken under a difference loses the friction of the bushes, and what the pressure pressed the seat further.

    Raises
    ------
    InputError
        Where the valve did not pass, no torque was measured, or the difference it was taken at is not written down.
    """
    which = record.serial or item.tag
    if not record.passed:
        raise InputError(f"valve {which}: it did not pass; its torque tells nothing of good ones")
    torque, difference = record.values.get("torque_open"), record.values.get("torque_open_difference")
    if torque is None:
        raise InputError(f"valve {which}: no torque to leave the seat was measured")
    if difference is None:
        raise InputError(f"valve {which}: the torque wants the difference it was taken at, as torque = ..., difference = ...")
    if abs(difference) <= practice("torque_difference_most"):
        return torque
    made = made_of(item, maker)
    friction = bush_friction(item)[1]
    at_bushes = float(bearing_torque(difference, made.disc_diameter, made.shaft_diameter, friction)[0])
    pressed, free = (sum(part[0] for part in seat_torque(made, Condition(difference=d))[:2]) for d in (difference, 0.0))
    left = (torque - at_bushes) * float(free / pressed)
    if not left > 0:
        raise InputError(f"valve {which}: the bushes alone would take {at_bushes:.0f} of {torque:.0f} N m; measure it without difference")
    return left


def measured_rows(pairs: Sequence[tuple[Item, WorksRecord]], maker: Maker) -> tuple[Tested, ...]:
    """A row for each size, rating, disc and compound of which valves were measured.

    Raises
    ------
    InputError
        Where the valves of one row differ so much that they cannot be alike, or stand for two compounds.
    """
    groups: dict[tuple[float, float, str], list[tuple[str, float, float]]] = {}
    for item, record in pairs:
        key = (dn_of(item), pn_of(item), disc_build(item, maker))
        difference = record.values.get("torque_open_difference", 0.0)
        groups.setdefault(key, []).append((str((item.choice or {})[COMPOUND]), seat_part(item, record, maker), difference))
    return tuple(_row(key, held) for key, held in groups.items())


def _row(key: tuple[float, float, str], held: Sequence[tuple[str, float, float]]) -> Tested:
    dn, pn, build = key
    compounds = sorted({c for c, _, _ in held})
    name = f"DN{dn:g} PN{pn:g} {build}"
    if len(compounds) > 1:
        raise InputError(f"{name}: measured with {' and '.join(compounds)}; the torque table holds one compound a row, choose one")
    torques = np.array([t for _, t, _ in held])
    middle = float(np.median(torques))
    if np.ptp(torques) > practice("compare_spread") * middle:
        ends = f"{torques.min():.0f} to {torques.max():.0f} N m"
        raise InputError(f"{name}: {ends} do not belong to alike valves; look for the odd one before it is fed back")
    corrected = sum(abs(d) > 0 for _, _, d in held)
    told = f"median of {torques.size} valve{'s' if torques.size > 1 else ''}"
    told += f", {corrected} of them corrected for the difference at the test" if corrected else ""
    return Tested(dn, pn, build, compounds[0], middle, int(torques.size), float(torques.min()), float(torques.max()), told)


def with_tested(maker: Maker, rows: Sequence[Tested], out: Path) -> Path:
    """A copy of the maker's folder in which these rows stand as tested; the maker's own folder is not touched.

    Raises
    ------
    InputError
        Where ``out`` exists already, or the maker has no torque table.
    """
    out = Path(out)
    if out.exists():
        raise InputError(f"{out} exists already; name a new folder for the copy of the maker's data")
    source = maker.folder / FILE
    if not source.is_file():
        raise InputError(f"maker's data {maker.name!r} have no {FILE}")
    text = _merged(source.read_text("utf-8-sig"), rows)
    shutil.copytree(maker.folder, out)
    (out / FILE).write_text(text, encoding="utf-8", newline="")
    return out


def _merged(text: str, rows: Sequence[Tested]) -> str:
    """The table with each of these rows in place of the one it stands for, or at the end."""
    lines = list(csv.reader(io.StringIO(text)))
    heads = next(line for line in lines if line and not line[0].startswith("#"))
    if COMPOUND not in [head(h)[0] for h in heads]:
        lines = [[*line, COMPOUND if line is heads else ""] if line and not line[0].startswith("#") else line for line in lines]
        heads = next(line for line in lines if COMPOUND in line)
    places = {head(h)[0]: (i, head(h)[1]) for i, h in enumerate(heads)}
    body = {_key(line, places): n for n, line in enumerate(lines) if line and line is not heads and not line[0].startswith("#")}
    for row in rows:
        cells = [""] * len(heads)
        for name, (i, unit) in places.items():
            cells[i] = _cell(row, name, unit)
        at = body.get(_key(cells, places))
        lines = [*lines, cells] if at is None else [*lines[:at], cells, *lines[at + 1 :]]
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(lines)
    return out.getvalue()


def _key(cells: Sequence[str], places: dict[str, tuple[int, str | None]]) -> tuple[str, ...]:
    return tuple(f"{float(c):g}" if _is_number(c) else c for c in (cells[places[k][0]].strip() for k in KEYS))


def _is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True


def _cell(row: Tested, name: str, unit: str | None) -> str:
    if name == "basis":
        return "tested"
    if name == "torque":
        return f"{float(from_si(row.torque, unit or 'N m')):.4g}"
    value = getattr(row, name, "")
    return f"{value:g}" if isinstance(value, float) else str(value)
