"""The ladder of parts: liner, disc, shaft, bush, body, size and rating of what is offered, each by the rules that speak of it."""

import functools
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from softseat import tables
from softseat.maker.package import Maker
from softseat.maker.valves import row_of
from softseat.materials.elastomers import default_grade, known
from softseat.selection.choose import Candidate, Choice, choose
from softseat.selection.judge import reading
from softseat.selection.parts import bush_columns, disc_columns, liner_columns, valve_columns
from softseat.sheet import DERIVED, Sheet

ATMOSPHERE = 101325.0
STYLES = ("wafer", "lugged", "double_flanged")
LESS_THAN_A_CONDITION = 90.0  # what an asked part is worth: less than a condition that another part does without
SHARED_BUILD = 16.0  # the rating whose build the Class drillings share


@dataclass(frozen=True, slots=True)
class Ladder:
    """The offered Sheet so far, and what was weighed for each part."""

    sheet: Sheet
    weighed: Mapping[str, Choice] = field(default_factory=dict)
    thorough: bool = True  # every part is weighed, not only until the best one is found

    def adding(self, part: str, choice: Choice) -> "Ladder":
        return Ladder(choice.sheet, {**self.weighed, part: choice}, self.thorough)


def parts(sheet: Sheet, maker: Maker, thorough: bool = True) -> Ladder:
    """Body style, rating, liner, disc, shaft, bush and body material for each item, from the asked Sheet."""
    ladder = Ladder(rated(sheet, maker), thorough=thorough)
    for part in (style, liner, disc, shaft, bush, body):
        ladder = part(ladder, maker)
    return ladder


def rated(sheet: Sheet, maker: Maker) -> Sheet:
    """The smallest rating of the maker's that carries both the asked rating and the highest pressure, in any style of the size."""
    gauge = np.nan_to_num((sheet["p_highest"] - ATMOSPHERE) / 1e5)
    american = np.isin(sheet["rating"], ("Class 150", "Class 125"))
    wanted = np.fmax(np.where(american, SHARED_BUILD, np.nan_to_num(sheet["pn"])), gauge)
    best = _smallest(wanted, sheet["dn"], maker)
    # large sizes have no build of the shared rating: the one that carries the pressure, drilled to the Class
    best = np.where(american & np.isnan(best), _smallest(gauge, sheet["dn"], maker), best)
    fallback = np.where(np.isnan(best), np.where(np.isnan(sheet["pn"]), 10.0, sheet["pn"]), best)
    return sheet.adding(DERIVED, pn_valve=fallback)


def _smallest(wanted: np.ndarray, dn: np.ndarray, maker: Maker) -> np.ndarray:
    """The smallest rating made in the size that is not below the wanted one [bar], nan where there is none."""
    valves = maker.table("valves")
    best = np.full(len(dn), np.nan)
    for pn in np.sort(np.unique(valves["pn"]))[::-1]:
        sizes = valves["dn"][valves["pn"] == pn]
        best = np.where((pn >= wanted - 0.015) & np.isin(dn, sizes), pn, best)
    return best


@functools.cache
def _preference() -> Mapping[tuple[str, str], float]:
    """Rank of the house for a part, by kind and key."""
    return {(row["part"], row["key"]): float(row["rank"]) for row in tables.read("preference")}


def _candidates(table: Mapping[str, np.ndarray], key: str, sheet: Sheet, columns: tuple[str, ...]) -> list[Candidate]:
    """The parts of a table; for a size that is not made at all every part is looked at, so that the rules can still speak."""
    dn, made = sheet["dn"], sheet["in_range"]
    found = []
    for i, name in enumerate(table[key]):
        fits = ~(dn < table["dn_min"][i]) & ~(dn > table["dn_max"][i]) | ~made
        rank = _preference().get((key.removesuffix("_grade"), str(name)), float(table["rank_cost"][i]))
        found.append(Candidate(str(name), {c: table[c][i].item() for c in columns}, fits, rank))
    return found


def style(ladder: Ladder, maker: Maker) -> Ladder:
    sheet = ladder.sheet
    everywhere = np.ones(len(sheet), bool)
    options = [Candidate(s, {"body_style": s}, everywhere, 1.0 + k) for k, s in enumerate(STYLES)]
    rules = (*reading("body_style"), "R150")
    choice = choose(
        sheet,
        options,
        sheet["body_style"].copy(),
        [r for r in rules if r != "R142"],
        lambda s: valve_columns(s, maker),
        thorough=ladder.thorough,
    )
    return ladder.adding("body_style", choice)


def liner(ladder: Ladder, maker: Maker) -> Ladder:
    sheet = ladder.sheet
    table = maker.table("liners")
    build = np.where(np.isin(sheet["liner_build"], ("bonded", "backed")), sheet["liner_build"], "bonded")
    sheet = sheet.adding(DERIVED, liner_build=build)
    options = _candidates(table, "liner_grade", sheet, ("liner_grade", "liner", "filler"))
    asked = _asked_grade(sheet)
    rules = reading("liner", "liner_grade", "liner_letter", "liner_t_max")
    choice = choose(sheet, options, asked, rules, liner_columns, keep=LESS_THAN_A_CONDITION, thorough=ladder.thorough)
    return ladder.adding("liner", choice)


def _asked_grade(sheet: Sheet) -> np.ndarray:
    words, inverse = np.unique(sheet["liner"], return_inverse=True)
    grades = np.array([default_grade(str(w)) if known(str(w)) else "" for w in words])[inverse]
    return np.where(sheet["liner_grade"] != "", sheet["liner_grade"], grades)


def disc(ladder: Ladder, maker: Maker) -> Ladder:
    sheet = ladder.sheet
    options = _candidates(maker.table("discs"), "disc", sheet, ("disc", "disc_build"))
    asked = sheet["disc"].copy()
    rules = reading("disc", "disc_letter", "pa11_letter")
    choice = choose(sheet, options, asked, rules, disc_columns, thorough=ladder.thorough)
    return ladder.adding("disc", choice)


def shaft(ladder: Ladder, maker: Maker) -> Ladder:
    sheet = ladder.sheet
    options = _candidates(maker.table("shafts"), "shaft", sheet, ("shaft", "yield"))
    choice = choose(
        sheet, options, sheet["shaft"].copy(), reading("shaft"), lambda s: s, keep=LESS_THAN_A_CONDITION, thorough=ladder.thorough
    )
    return ladder.adding("shaft", choice)


def bush(ladder: Ladder, maker: Maker) -> Ladder:
    sheet = ladder.sheet
    options = _candidates(maker.table("bushes"), "bush", sheet, ("bush",))
    choice = choose(
        sheet, options, sheet["bush"].copy(), reading("bush"), bush_columns, keep=LESS_THAN_A_CONDITION, thorough=ladder.thorough
    )
    return ladder.adding("bush", choice)


def body(ladder: Ladder, maker: Maker) -> Ladder:
    sheet = ladder.sheet
    table = maker.table("bodies")
    options = []
    for i, name in enumerate(table["body"]):
        fits = ~(sheet["dn"] < table["dn_min"][i]) & ~(sheet["dn"] > table["dn_max"][i])
        rated_for = {float(r.strip().removeprefix("PN")) for r in str(table["ratings"][i]).split(";") if r.strip().startswith("PN")}
        styles = {s.strip() for s in str(table["body_styles"][i]).split(";")}
        fits &= np.isin(sheet["pn_valve"], list(rated_for)) & np.isin(sheet["body_style"], list(styles))
        rank = _preference().get(("body", str(name)), 1.0 + float(table["rank_cost"][i]))
        options.append(Candidate(str(name), {"body": str(name)}, fits, rank))
    choice = choose(
        sheet, options, sheet["body"].copy(), reading("body"), lambda s: s, keep=LESS_THAN_A_CONDITION, thorough=ladder.thorough
    )
    return ladder.adding("body", choice)


def makes(sheet: Sheet, maker: Maker) -> np.ndarray:
    """True where the maker has a valve of this style, size and rating."""
    return np.asarray(row_of(maker, sheet["body_style"], sheet["dn"], sheet["pn_valve"]) >= 0)
