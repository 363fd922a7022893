"""Lines of the inspection and test plan of one build."""

import dataclasses
import functools
from typing import Any

import numpy as np

from softseat.pressure.plan import inspection_plan, words_of_plan
from softseat.sheet import Sheet

ALLOYS = ("CF8M", "CF3M", "NiAlBz", "4462_4A", "4469", "4517", "C276", "Ti")


def plan(sheet: Sheet, n: int, values: dict[str, str]) -> list[dict[str, Any]]:
    """The lines that the build and the duty of one item call for."""
    disc, body = str(sheet["disc"][n]), str(sheet["body"][n])
    operator = str(sheet["operator"][n])
    true = {
        "bonded": str(sheet["liner_build"][n]) == "bonded",
        "coated_disc": disc in ("PA_coated_DI", "epoxy_DI"),
        "polyamide_disc": disc == "PA_coated_DI",
        "rubber_disc": disc == "rubber_covered",
        "alloy": disc in ALLOYS,
        "iron_body": body.startswith(("GJS", "GJL", "A536", "A395")),
        "coated_body": True,
        "potable": bool(sheet["is_potable"][n] or sheet["potable_words"][n]),
        "food": bool(sheet["is_food"][n] or sheet["food_words"][n]),
        "black_rubber": "filler" in sheet and str(sheet["filler"][n]) == "carbon black",
        "abrasive": bool(sheet["is_abrasive"][n]),
        "lugged": str(sheet["body_style"][n]) == "lugged",
        "power": operator.startswith(("pneumatic", "electric")),
        "control": str(sheet["duty"][n]) in ("control", "throttle"),
        "ce": str(sheet["category"][n]) in ("I", "II", "III"),
        "vacuum": bool(sheet["vacuum"][n]),
        "sour": bool(sheet["is_sour"][n]),
        "zone": str(sheet["zone_inside"][n]) != "",
        "gas": bool(sheet["is_gas"][n]),
        "two_way": bool(sheet["both_ways"][n]),
        "dead_end": bool(sheet["open_end"][n] or sheet["one_side_removed"][n] or str(sheet["removable_side"][n]) == "yes"),
    }
    build = frozenset(word for word, holds in true.items() if holds)
    return [dict(line) for line in _lines(build, tuple(values.items()))]


@functools.lru_cache(maxsize=4096)
def _lines(build: frozenset[str], values: tuple[tuple[str, str], ...]) -> tuple[dict[str, str], ...]:
    known = build & set(words_of_plan())
    return tuple(dataclasses.asdict(line) for line in inspection_plan(known, dict(values)))


def shown_seconds(value: float) -> str:
    """A test time in words."""
    return f"{value:g} s" if np.isfinite(value) else "as the standard says"
