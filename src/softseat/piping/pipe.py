"""What the disc opens into: the bore of a pipe by its standard."""

import functools
import re

from softseat.errors import DataError, InputError, UnknownName
from softseat.piping.drilling import UNTRUSTED
from softseat.register import calculation
from softseat.tables import Row, number, read
from softseat.tables.nominal import class_word, dn, known, listed, plain


@functools.cache
def _rows(system: str) -> tuple[Row, ...]:
    """Trusted rows of a system; a row whose bore is not what wall and lining leave is a misprint."""
    rows = tuple(row for row in read("pipe_bores") if row["system"] == system and row["certainty"] != UNTRUSTED)
    for row in rows:
        od, wall, lining, bore, _ = _dimensions(row)
        if not abs(od - 2 * wall - 2 * lining - bore) < 0.06e-3:
            raise DataError(f"table pipe_bores.csv: {row['standard']} {row['class']} DN{row['DN']}: bore is not od - 2 wall - 2 lining")
    return rows


@functools.cache
def _names(text: str) -> frozenset[str]:
    """Every way to call a class: of ``PN 16, SDR 13.6`` either word, of ``medium (M)`` the word or the letter."""
    return frozenset({plain(part) for part in re.split(r"[,()]", text) if part.strip()} | {plain(text)})


@functools.lru_cache(maxsize=4096)
def rows_of(system: str, class_: str) -> tuple[Row, ...]:
    """Rows of a class; no class takes those of the system (EN 545: the preferred class of each size).

    Parameters
    ----------
    system : str
        As the table has it.
    class_ : str
        As written.

    Raises
    ------
    UnknownName
        Where the system has no such class.
    """
    rows = _rows(system)
    if not class_.strip():
        return rows
    want = plain(class_)
    found = tuple(r for r in rows if {want, f"SCH{want}", f"SDR{want}"} & _names(r["class"]))
    if not found:
        raise UnknownName(f"class {class_!r} is not in {system}; it has {listed(r['class'] for r in rows)}")
    return found


def _dimensions(row: Row) -> tuple[float, float, float, float, str]:
    od, wall, lining, bore = (number(row[h], "mm") for h in ("outside_d_mm", "wall_mm", "lining_mm", "inside_d_mm"))
    return od, wall, lining, bore, row["certainty"]


NOTHING = (float("nan"),) * 4 + ("",)


@calculation(
    "pipe-bore",
    source="ASME B36.10M, B36.19M; EN 10220, EN 10255, EN 10357; EN 545:2010, ISO 2531; EN 12201-2; EN ISO 1452-2",
    formula="bore = outside diameter - 2 wall - 2 lining",
    example={"system": "ASME B36.10M", "class": "STD", "size": "NPS 8"},
    each=True,
)
@class_word
def pipe_bore(system: str, size: str, *, class_: str) -> tuple[float, float, float, float, str]:
    """Nominal dimensions of a pipe.

    Parameters
    ----------
    system : str
        ASME B36.10M, ASME B36.19M, EN 10220, EN 10255, EN 10357, EN 545, ISO 2531, PE100, PVC-U.
    class : str
        Schedule (STD, XS, Sch 40), row (normal, medium, heavy, series A), C40, K9, SDR 11, PN 16; empty takes the only one of
        the size, in EN 545 the preferred.
    size : str
        DN200, NPS 8, or d225 for a plastic pipe by its outside diameter. Where two plastic pipes go with one DN, DN takes the
        narrower.

    Returns
    -------
    outside_diameter : float
        Outside diameter; nan where the class has no trusted row of this size. [m]
    wall : float
        Wall of the pipe without lining; nan where the class has no trusted row of this size. [m]
    lining : float
        Cement mortar of EN 545 and ISO 2531, else 0; nan where the class has no trusted row of this size. [m]
    bore : float
        Free bore; nan where the class has no trusted row of this size. [m]
    certainty : str
        How sure the row is: high, medium-high, medium; empty where there is none.

    References
    ----------
    The standards named: ASME rows as the ``fluids`` library prints them, the rest from memory and formulas (see the table).
    """
    rows = rows_of(known("pipe", "system", system), class_)
    outside = re.fullmatch(r"(?:d|od)\s*(\d+(?:[.,]\d+)?)(?:\s*mm)?", str(size).strip(), re.I)
    if outside:
        across = float(outside.group(1).replace(",", "."))
        fitting = [r for r in rows if number(r["outside_d_mm"]) == across]
    else:
        fitting = [r for r in rows if number(r["DN"]) == dn(size)]
    classes = {r["class"] for r in fitting}
    if len(classes) > 1:
        raise InputError(f"class is empty, and {system} has {listed(sorted(classes))} for {size}: name one")
    return _dimensions(min(fitting, key=lambda r: number(r["inside_d_mm"]))) if fitting else NOTHING
