"""The media table as arrays: what a medium is, in what limits its row holds, and how rubbers and metals stand it."""

import functools
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from softseat import tables

NO, DEPENDS, YES = 0, 1, 2
UNKNOWN, C, B, A = 0, 1, 2, 3
ELASTOMERS = ("NBR", "HNBR", "EPDM", "FKM", "CSM", "VMQ", "CR", "NR", "AU", "PTFE_EPDM")
METALS = ("iron_bare", "PA11_coat", "epoxy_coat", "CF8M_316", "AlBronze", "duplex_1.4462", "6Mo_1.4547", "C276_2.4819")
_FLAG = {"no": NO, "depends": DEPENDS, "yes": YES}
_LETTER = {"C": C, "B": B, "A": A}


@dataclass(frozen=True, slots=True)
class MediaTable:
    """One value a row of media.csv, in its order; numbers in SI, nan where the row holds none."""

    medium_id: np.ndarray
    name: np.ndarray
    group: np.ndarray
    phase: np.ndarray
    cas: np.ndarray
    t_min: np.ndarray  # K
    t_max: np.ndarray  # K
    c_min: np.ndarray  # mass share
    c_max: np.ndarray
    ph_min: np.ndarray
    ph_max: np.ndarray
    solids_max: np.ndarray  # share
    fluid_group: np.ndarray  # at t_max
    flash_point: np.ndarray  # K
    flammable: np.ndarray  # NO, DEPENDS, YES
    toxic: np.ndarray
    oxidiser: np.ndarray
    oil_like: np.ndarray
    polar_solvent: np.ndarray
    plasticiser_drawn: np.ndarray
    liner_rating: Mapping[str, np.ndarray]  # A, B, C of an elastomer (3, 2, 1; 0 unknown)
    liner_limit: Mapping[str, np.ndarray]  # K, up to which the letter holds
    metal_rating: Mapping[str, np.ndarray]
    note: np.ndarray
    certainty: np.ndarray

    def rows(self, medium_id: np.ndarray) -> np.ndarray:
        """Places of these medium numbers in the arrays; -1 where a number is nan or not in the table."""
        number = np.nan_to_num(np.asarray(medium_id, float), nan=-1.0)
        place = np.searchsorted(self.medium_id, number)
        place = np.where(place < self.medium_id.size, place, 0)
        return np.where(self.medium_id[place] == number, place, -1)


def _words(head: str) -> np.ndarray:
    return np.array([row[head] for row in tables.read("media")])


def _coded(head: str, code: Mapping[str, int]) -> np.ndarray:
    return np.array([code.get(row[head], 0) for row in tables.read("media")], np.int8)


def _numbers(head: str, unit: str = "-") -> np.ndarray:
    return tables.column("media", head, unit)


def _flags() -> dict[str, np.ndarray]:
    heads = ("flammable", "toxic", "oxidiser", "oil_like", "polar_solvent", "plasticiser_drawn")
    return {head: _coded(head, _FLAG).astype(np.uint8) for head in heads}


def _limits() -> dict[str, np.ndarray]:
    """Range of conditions for which a row holds."""
    return {
        "t_min": _numbers("t_min_C", "C"),
        "t_max": _numbers("t_max_C", "C"),
        "c_min": _numbers("c_min_pct", "%"),
        "c_max": _numbers("c_max_pct", "%"),
        "ph_min": _numbers("ph_min"),
        "ph_max": _numbers("ph_max"),
        "solids_max": _numbers("solids_max_pct", "%"),
        "fluid_group": _numbers("ped_fluid_group"),
        "flash_point": _numbers("flash_point_C", "C"),
    }


@functools.cache
def table() -> MediaTable:
    """Every row of media.csv, read at first use."""
    return MediaTable(
        medium_id=_numbers("id").astype(np.int64),
        name=_words("medium"),
        group=_words("group"),
        phase=_words("phase"),
        cas=_words("CAS"),
        liner_rating={e: _coded(f"{e}_rating", _LETTER) for e in ELASTOMERS},
        liner_limit={e: _numbers(f"{e}_maxC", "C") for e in ELASTOMERS},
        metal_rating={m: _coded(m, _LETTER) for m in METALS},
        note=_words("note"),
        certainty=_words("certainty"),
        **_limits(),
        **_flags(),
    )
