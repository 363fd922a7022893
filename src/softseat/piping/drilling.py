"""The drilling of flanges, all systems in one set of arrays; a misprint of a table is found when it is read."""

import functools
from collections.abc import Mapping
from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

from softseat.errors import DataError
from softseat.tables import Row, number, read
from softseat.tables.nominal import nps, plain, words

UNTRUSTED = "low"  # rows of this certainty are not used


@dataclass(frozen=True, slots=True)
class Drilling:
    """One row a flange: lengths in m, nan or "" where there is none."""

    system: np.ndarray
    rating: np.ndarray
    dn: np.ndarray
    outside_diameter: np.ndarray
    bolt_circle: np.ndarray
    holes: np.ndarray
    hole_diameter: np.ndarray
    bolt: np.ndarray  # M20, 3/4 in
    bolt_diameter: np.ndarray
    flange_thickness: np.ndarray  # face to nut bearing, raised face included
    thickness_certainty: np.ndarray
    face_diameter: np.ndarray  # of the raised face
    certainty: np.ndarray

    def take(self, places: np.ndarray) -> "Drilling":
        """These rows, in this order."""
        return Drilling(*(getattr(self, f.name)[places] for f in fields(self)))


# What a table calls it; the head of a thickness without its raised face names the height to be added.
_EN = {"rating": "rating", "bolt_circle": "pcd_mm", "bolt": "bolt", "bolt_diameter": "bolt_d_mm", "certainty": "drilling_certainty"}
_INCH = {"outside_diameter": "od_mm", "bolt_circle": "pcd_mm", "holes": "n_holes", "hole_diameter": "hole_d_mm", "certainty": "certainty"}
_LAYOUTS: tuple[tuple[str, str, Mapping[str, str]], ...] = (
    ("flange_drilling_en1092_pn", "EN 1092-1", {
        **_EN, "outside_diameter": "od_mm_steel", "holes": "n_holes_en1092_1", "hole_diameter": "hole_d_en1092_1_mm",
        "flange_thickness": "t_type11_weldneck_mm", "thickness_certainty": "t_type11_certainty", "face_diameter": "rf_d1_en1092_1_mm"}),
    ("flange_drilling_en1092_pn", "EN 1092-2", {
        **_EN, "outside_diameter": "od_mm_ductile", "holes": "n_holes_en1092_2", "hole_diameter": "hole_d_en1092_2_mm",
        "flange_thickness": "t_type21_ductile_mm"}),
    ("flange_drilling_asme", "", {
        **_INCH, "bolt": "bolt_in", "bolt_diameter": "bolt_d_mm", "flange_thickness": "thickness_min_mm", "raised": "rf_height_mm",
        "face_diameter": "rf_d_mm"}),
    ("flange_drilling_bs10_table_d_e", "", {**_INCH, "bolt": "metric_bolt"}),
    ("flange_drilling_as4087_pn16", "", {**_INCH, "bolt": "bolt"}),
    ("flange_drilling_jis_10k", "", {**_INCH, "bolt": "bolt", "flange_thickness": "thickness_mm"}),
)  # fmt: skip


def _flange(row: Row, system: str, heads: Mapping[str, str]) -> tuple[object, ...]:
    def mm(name: str) -> float:
        return number(row[heads[name]], "mm") if name in heads else float("nan")

    bolt = row[heads["bolt"]]
    across = number(bolt[1:], "mm") if bolt.startswith("M") else mm("bolt_diameter")
    certainty = row[heads["certainty"]]
    raised = 0.0 if "raised" not in heads else mm("raised")
    thick = row[heads["thickness_certainty"]] if "thickness_certainty" in heads else certainty
    rating = row["rating"].replace("PN ", "PN")
    name = bolt if bolt.startswith("M") else f"{bolt} in"
    holes = number(row[heads.get("holes", "n_holes")])
    size = number(row["DN"]), mm("outside_diameter"), mm("bolt_circle"), holes, mm("hole_diameter")
    return (system or row["system"], rating, *size, name, across, mm("flange_thickness") + raised, thick, mm("face_diameter"), certainty)


def _no_misprint(d: Drilling) -> None:
    """Holes straddle four centre lines, leave material between and outside them, and let their bolt pass; sizes grow with DN."""
    between = d.bolt_circle * np.sin(np.pi / d.holes)
    play = d.hole_diameter - d.bolt_diameter
    good = (d.holes % 4 == 0) & (between >= 2.0 * d.hole_diameter) & (d.outside_diameter - d.bolt_circle >= 1.7 * d.bolt_diameter)
    good &= (play >= 0.9e-3) & (play <= 5.5e-3)
    same = (d.system[1:] == d.system[:-1]) & (d.rating[1:] == d.rating[:-1]) & (d.dn[1:] > d.dn[:-1])
    good[1:] &= ~same | ((np.diff(d.bolt_circle) > 0) & (np.diff(d.outside_diameter) > 0))
    for n in np.flatnonzero(~good):
        raise DataError(f"flange drilling of {d.system[n]} {d.rating[n]} DN{d.dn[n]:g}: a hole does not fit its bolt, rim or neighbour")


@functools.cache
def drillings() -> Drilling:
    """Every flange that is trusted, guarded against misprints."""
    rows = [_flange(row, system, heads) for table, system, heads in _LAYOUTS for row in read(table)]
    order = {key: n for n, key in enumerate(dict.fromkeys(r[:2] for r in rows))}
    rows = sorted((r for r in rows if r[-1] != UNTRUSTED), key=lambda r: order[r[:2]])
    found = Drilling(*(np.array(column) for column in zip(*rows, strict=True)))
    _no_misprint(found)
    return found


def usual_system(rating: npt.ArrayLike, dn: npt.ArrayLike) -> np.ndarray:
    """The drilling standard that a rating goes with where none is named; "" where the rating is not known.

    Parameters
    ----------
    rating : array_like
        PN16, Class 150, Table E, 10K. [-]
    dn : array_like
        DN number: above DN 600 a Class is drilled to ASME B16.47 A. [-]
    """
    label, size = np.broadcast_arrays(np.char.upper(np.asarray(rating, str)), np.asarray(dn, float))
    starts = [np.char.startswith(label, w) for w in ("PN", "CLASS 150", "CLASS 125", "TABLE", "10K")]
    large = np.where(size > 600, "ASME B16.47 A", "ASME B16.5")
    return np.select(starts, ["EN 1092-1", large, "ASME B16.1", "BS 10", "JIS B2220"], "")


def drilling(system: npt.ArrayLike, rating: npt.ArrayLike, dn: npt.ArrayLike) -> Drilling:
    """The flange of each item; nan and "" where none is known.

    Parameters
    ----------
    system : array_like
        Drilling standard; "" takes the one that the rating goes with. [-]
    rating : array_like
        PN16, Class 150, Table E, 10K. [-]
    dn : array_like
        DN number. [-]
    """
    label = np.asarray(rating, str)
    asked, label, size = np.broadcast_arrays(np.asarray(system, str), label, np.asarray(dn, float))
    named = np.where(asked == "", usual_system(label, size), asked)
    places = {(plain(s), plain(r), float(d)): n for n, (s, r, d) in enumerate(_keys())}
    known = words("flange")
    keys = [(plain(known.get(plain(s), s)), plain(r), float(d)) for s, r, d in zip(named.ravel(), label.ravel(), size.ravel(), strict=True)]
    nowhere = len(places)
    return _with_nothing().take(np.array([places.get(k, nowhere) for k in keys], int).reshape(size.shape))


@functools.cache
def _keys() -> list[tuple[str, str, float]]:
    d = drillings()
    return list(zip(d.system.tolist(), d.rating.tolist(), d.dn.tolist(), strict=True))


@functools.cache
def _with_nothing() -> Drilling:
    """The table with one empty row behind it, for items that have no flange in it."""
    d = drillings()
    columns = (getattr(d, f.name) for f in fields(d))
    return Drilling(*(np.append(c, "" if c.dtype.kind == "U" else np.nan) for c in columns))


def size_word(system: str, dn: float) -> str:
    """The size as that standard writes it: DN200, NPS 8, 200A.

    Parameters
    ----------
    system : str
        Drilling standard, as the table has it.
    dn : array_like
        DN number. [-]
    """
    if system.startswith("ASME"):
        return f"NPS {float(nps(dn)):g}"
    return f"{dn:g}A" if system.startswith("JIS") else f"DN{dn:g}"
