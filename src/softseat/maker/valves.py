"""Which row of the maker's valves: by body style, size and rating, over arrays."""

from collections.abc import Mapping

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
    sizes_made = np.unique(valves["dn"])
    rows, highest, named = _shelves(valves, sizes_made)
    place = np.minimum(np.searchsorted(sizes_made, size), len(sizes_made) - 1)
    shelf = np.where((code >= 0) & (sizes_made[place] == size), code * len(sizes_made) + place, len(rows) - 1)
    found = np.full(style.shape, NONE, np.int64)
    for k in range(rows.shape[1]):  # from the highest rating down, so that the lowest one that serves stays
        serves = (rating <= highest[shelf, k]) | (rating[..., None] == named[shelf, k]).any(axis=-1)
        found = np.where(serves, rows[shelf, k], found)
    return found


def _shelves(valves: Mapping[str, np.ndarray], sizes_made: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """For each style and size, and none at the end, the rows from the highest rating down; their ratings, and those of their Class."""
    shelf = _code(valves["body_style"]) * len(sizes_made) + np.searchsorted(sizes_made, valves["dn"])
    classes = _class_numbers(valves["also_class"])
    order = [row for row in np.argsort(-valves["pn"], kind="stable").tolist() if shelf[row] >= 0]
    held: dict[int, list[int]] = {}
    for row in order:
        held.setdefault(int(shelf[row]), []).append(row)
    shape = len(BODY_STYLES) * len(sizes_made) + 1, max(map(len, held.values()), default=0)
    rows, highest = np.full(shape, NONE, np.int64), np.full(shape, np.nan)
    named = np.full((*shape, max(map(len, classes), default=0)), np.nan)
    for at, many in held.items():
        for k, row in enumerate(many):
            rows[at, k], highest[at, k] = row, valves["pn"][row]
            named[at, k, : len(classes[row])] = classes[row]
    return rows, highest, named


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
