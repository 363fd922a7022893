"""Which pipe to reckon with where the enquiry names none: an assumption or a question, never a fact."""

import contextlib
import functools
import re
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from softseat.errors import UnknownName
from softseat.piping.pipe import rows_of
from softseat.tables import Row, number, read
from softseat.tables.nominal import plain, words


@dataclass(frozen=True, slots=True)
class AssumedPipe:
    """Arrays of one shape; lengths in m."""

    pipe: np.ndarray  # system and class, as for people
    bore: np.ndarray  # nan where no table has the size
    worst_pipe: np.ndarray
    worst_bore: np.ndarray  # the narrowest pipe that this service may have
    ask: np.ndarray  # True: the check is run for the worst pipe and asked; False: the pipe is assumed
    flange_type: np.ndarray
    question: np.ndarray


PLASTIC = ("pe", "pvc_u")  # pipes that are named by their outside diameter


@functools.lru_cache(maxsize=16384)
def _bore(spec: str, dn: float, across: float = np.nan) -> float:
    """Narrowest bore of ``system:class+lining`` at a DN, or at an outside diameter [mm] where one is named [m]; nan where there is none."""
    name, _, lining = spec.partition("+")
    system, _, class_ = name.partition(":")
    column, size = ("DN", dn) if np.isnan(across) else ("outside_d_mm", across)
    bores = [number(r["inside_d_mm"], "mm") for r in rows_of(system, class_) if number(r[column]) == size]
    return min(bores) - 2e-3 * float(lining or 0) if bores else float("nan")


def _told(spec: str) -> str:
    name, _, lining = spec.partition("+")
    return name.replace(":", " ").strip() + (f" with {lining} mm lining" if lining else "")


def _first(specs: str, dn: float) -> tuple[str, float]:
    bores = [(_told(s), _bore(s, dn)) for s in specs.split("|")]
    return next((b for b in bores if np.isfinite(b[1])), (bores[0][0], float("nan")))


def _narrowest(specs: str, dn: float) -> tuple[str, float]:
    bores = [(_told(s), _bore(s, dn)) for s in specs.split("|")]
    there = [b for b in bores if np.isfinite(b[1])]
    return min(there, key=lambda b: b[1]) if there else (bores[0][0], float("nan"))


@functools.cache
def _rows() -> tuple[tuple[Row, re.Pattern[str]], ...]:
    return tuple((row, re.compile(rf"\b(?:{row['words']})\b" if row["words"] else "")) for row in read("pipes_default"))


def _suits(row: Row, rating: str, dn: float) -> bool:
    kind = row["rating_kind"]
    rated = kind in ("any", rating) or (kind in ("PN", "Class") and rating.startswith(kind))
    return rated and number(row["dn_from"]) <= dn <= number(row["dn_to"])


@functools.lru_cache(maxsize=65536)
def _spoken(text: str) -> tuple[int, ...]:
    """Places of the rows whose words stand in the text: many items share few of these sets."""
    small = text.lower()
    return tuple(place for place, (_, spoken) in enumerate(_rows()) if spoken.search(small))


@functools.lru_cache(maxsize=16384)
def _one(places: tuple[int, ...], rating: str, dn: float) -> tuple[str, float, str, float, bool, str, str]:
    label = rating if rating.startswith(("PN", "Class")) else "PN"  # tables and 10K go with PN practice
    for row in (_rows()[place][0] for place in places):
        if _suits(row, label, dn):
            question = "" if row["question"] == "-" else row["question"]
            return (*_first(row["assumed"], dn), *_narrowest(row["worst"], dn), row["state"] == "ask", row["flange_type"], question)
    return "", float("nan"), "", float("nan"), True, "", "pipe material and bore?"


def assumed_pipe(service: npt.ArrayLike, rating: npt.ArrayLike, dn: npt.ArrayLike) -> AssumedPipe:
    """The pipe that goes with a service where none is named.

    Parameters
    ----------
    service : array_like
        Words of service, medium and pipe together, as typed. [-]
    rating : array_like
        PN16, Class 150. [-]
    dn : array_like
        DN number. [-]

    References
    ----------
    Table ``pipes_default``: common practice, no source. The first row that suits is taken.
    """
    text, label, size = np.broadcast_arrays(np.asarray(service, str), np.asarray(rating, str), np.asarray(dn, float))
    asked = zip(text.ravel().tolist(), label.ravel().tolist(), size.ravel().tolist(), strict=True)
    seen: dict[tuple[tuple[int, ...], str, float], int] = {}
    place = np.array([seen.setdefault((_spoken(t), r, d), len(seen)) for t, r, d in asked], int).reshape(size.shape)
    found = [_one(*key) for key in seen]
    columns = zip(*found, strict=True) if found else ((),) * 7
    return AssumedPipe(*(np.array(c)[place] for c in columns))


def named_bore(
    pipe_system: npt.ArrayLike, pipe_class: npt.ArrayLike, dn: npt.ArrayLike, outside_diameter: npt.ArrayLike = np.nan
) -> np.ndarray:
    """Bore of the pipe that the enquiry names [m]; nan where no table has that class or size.

    Parameters
    ----------
    pipe_system : array_like
        steel, stainless, ductile_iron, pe, pvc_u; "" searches them all. [-]
    pipe_class : array_like
        As typed: sch 80, STD, SDR 11, K9, C40; "" gives nan, but for ductile_iron the preferred class of the size. [-]
    dn : array_like
        DN number. [-]
    outside_diameter : array_like
        Outside diameter of a plastic pipe where it is named; it goes before the DN. [m]
    """
    told = [np.asarray(pipe_system, str), np.asarray(pipe_class, str), np.asarray(dn, float), np.asarray(outside_diameter, float)]
    kind, class_, size, across = np.broadcast_arrays(*told)
    of_each = zip(*(a.ravel().tolist() for a in (kind, class_, size, across)), strict=True)
    found = [_named(k, c, d, round(a * 1e3, 1) if k in PLASTIC else np.nan) for k, c, d, a in of_each]
    return np.array(found, float).reshape(size.shape)


@functools.lru_cache(maxsize=4096)
def _named(kind: str, class_: str, dn: float, across: float) -> float:
    materials = words("pipe material")
    if not class_.strip() and kind != "ductile_iron":
        return float("nan")
    systems = materials.get(plain(kind), "" if kind else "|".join(dict.fromkeys(materials.values())))
    for system in filter(None, systems.split("|")):
        with contextlib.suppress(UnknownName):
            if np.isfinite(bore := _bore(f"{system}:{class_}", dn, across)):
                return bore
    return float("nan")
