"""Which row of the maker's valves: by body style, size and rating, over arrays."""

import numpy as np
import numpy.typing as npt

from softseat.errors import InputError
from softseat.maker.package import Maker

BODY_STYLES = ("wafer", "lugged", "double_flanged")
PN_OF_CLASS = {"Class 150": 20.0}  # ISO 7005 calls it PN 20
NONE = -1


def row_of(maker: Maker, body_style: npt.ArrayLike, dn: npt.ArrayLike, pn: npt.ArrayLike) -> np.ndarray:
    """Row of the valves table for each item: of this rating, else of the next higher one that the maker has.

    Parameters
    ----------
    maker : Maker
        The maker's data.
    body_style : array_like
        wafer, lugged or double_flanged; "" where not known. [-]
    dn : array_like
        DN number. [-]
    pn : array_like
        PN number; 20 (Class 150) is met by a row whose ``also_class`` names that class. [-]

    Returns
    -------
    row : ndarray of int
        Row of ``maker.table("valves")``; -1 where the maker has none, or style, size or rating is not known. [-]
    """
    style, size, rating = np.broadcast_arrays(np.asarray(body_style, np.str_), np.asarray(dn, float), np.asarray(pn, float))
    code = _code(style)
    valves = maker.table("valves")
    rows_code, named = _code(valves["body_style"]), _class_numbers(valves["also_class"])
    found = np.full(style.shape, NONE, np.int64)
    for row in np.argsort(-valves["pn"], kind="stable"):  # from the highest rating down, so that the lowest one that serves stays
        serves = (rating <= valves["pn"][row]) | np.isin(rating, named[row])
        found[(code == rows_code[row]) & (size == valves["dn"][row]) & serves] = row
    return found


def _code(style: np.ndarray) -> np.ndarray:
    """Place of each word in BODY_STYLES; -1 where none is named."""
    words, place = np.unique(style, return_inverse=True)
    unknown = [w for w in words.tolist() if w and w not in BODY_STYLES]
    if unknown:
        raise InputError(f"body_style {unknown[0]!r} is not known; allowed are {', '.join(BODY_STYLES)}")
    return np.array([BODY_STYLES.index(w) if w else NONE for w in words.tolist()], np.int64)[place].reshape(style.shape)


def _class_numbers(also_class: np.ndarray) -> list[list[float]]:
    """For each row the numbers under which its Class builds are asked."""
    return [[PN_OF_CLASS[c.strip()] for c in cell.split(";") if c.strip() in PN_OF_CLASS] for cell in also_class.tolist()]


def sizes(maker: Maker, body_style: str) -> np.ndarray:
    """DN numbers that the maker has in this body style, smallest first."""
    if body_style not in BODY_STYLES:
        raise InputError(f"body_style {body_style!r} is not known; allowed are {', '.join(BODY_STYLES)}")
    valves = maker.table("valves")
    return np.unique(valves["dn"][valves["body_style"] == body_style])


def range_text(maker: Maker, body_style: str) -> str:
    """The sizes of a body style as a sentence part: ``DN65-DN600``; empty where the maker has none."""
    dn = sizes(maker, body_style)
    return f"DN{dn[0]:g}-DN{dn[-1]:g}" if dn.size else ""


def next_size_down(maker: Maker, body_style: npt.ArrayLike, dn: npt.ArrayLike) -> np.ndarray:
    """The next smaller size that the maker has in that body style; nan where there is none."""
    style, size = np.broadcast_arrays(np.asarray(body_style, np.str_), np.asarray(dn, float))
    below = np.full(style.shape, np.nan)
    for name in BODY_STYLES:
        ladder = sizes(maker, name)
        place = np.searchsorted(ladder, size, side="left") - 1
        there = (style == name) & (place >= 0) & np.isfinite(size)
        below[there] = ladder[place[there]]
    return below
