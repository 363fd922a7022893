"""What a chosen part brings: limits and letters of liner, disc and bush; figures of the valve row; arrays over items."""

import numpy as np

from softseat.maker.package import Maker
from softseat.maker.valves import range_text, row_of
from softseat.materials import bushes, elastomers
from softseat.materials.elastomers import ph_range
from softseat.materials.resistance import liner_rating, metal_rating
from softseat.selection.limits import limit
from softseat.selection.medium import ITEM_MEDIA
from softseat.sheet import DERIVED, MISSING, Sheet

UNKNOWN, C, B, A = 0, 1, 2, 3
PH_SLACK = 0.05  # a pH is read to a tenth at best
NAMED_LINER = ("is_mineral_oil", "is_fat", "is_aromatic_chlorinated", "is_ketone_ester_ether", "is_oxidising_acid", "is_amine",
    "is_hypochlorite",
               "is_ozone", "is_steam")  # fmt: skip


def _marked(sheet: Sheet, known: np.ndarray, **columns: np.ndarray) -> Sheet:
    return sheet.adding(np.where(known, DERIVED, MISSING).astype(np.uint8), **columns)


def _media(sheet: Sheet) -> list[tuple[np.ndarray, np.ndarray, np.ndarray]]:
    """Medium, temperature and strength of the product, its parts and what cleans it, one after the other."""
    found = []
    for k in range(ITEM_MEDIA):
        medium = sheet[f"medium_id_{k}"]
        if (medium < 0).all():
            break
        product = k < np.maximum(sheet["product_count"], 1)
        strength = np.where(k == 0, sheet["concentration"], np.nan)
        found.append((medium, np.where(product, sheet["t_max"], sheet[f"medium_heat_{k}"]), strength))
    return found


def liner_columns(sheet: Sheet) -> Sheet:
    """Limits and resistance of the liner grade that stands in the sheet; the worst of all its media."""
    limits = elastomers.limits(sheet["liner_grade"])
    named = sheet["liner"] != ""
    sheet = _marked(sheet, named, liner_t_min=limits.t_min, liner_t_max=limits.t_max, liner_t_short=limits.t_short)
    letter = np.full(len(sheet), A, np.int8)
    seen = np.zeros(len(sheet), bool)
    for medium, temperature, strength in _media(sheet):
        there = np.flatnonzero(medium >= 0)
        found, _limit = liner_rating(medium[there], sheet["liner"][there], temperature[there], strength[there])
        before = letter[there]
        worst = np.minimum(before, np.where(found == UNKNOWN, before, found))
        letter[there] = np.where((found == UNKNOWN) & (worst > C), UNKNOWN, worst)
        seen[there] = True
    letter = _by_ph(sheet, letter, seen)
    liner = sheet["liner"]
    attack = np.logical_or.reduce([sheet[n] for n in NAMED_LINER]) & _named_for(sheet, liner)
    # heat beyond the rubber itself is the subject of R021, not of the resistance table
    too_hot = sheet["t_max"] > sheet["liner_t_max"]
    return _marked(sheet, named & seen, liner_letter=np.where(seen, letter, UNKNOWN), named_attack=attack | too_hot)


def _by_ph(sheet: Sheet, letter: np.ndarray, seen: np.ndarray) -> np.ndarray:
    """The letter where a pH range is stated: outside the range of the rubber it does not stand."""
    low, high = ph_range(sheet["liner_grade"])
    stated_low = np.fmin(sheet["ph"], sheet["ph_min"])
    stated_high = np.fmax(sheet["ph"], sheet["ph_max"])
    outside = (stated_low < low - PH_SLACK) | (stated_high > high + PH_SLACK)
    return np.where(outside & seen & (letter > C), C, letter)


def _named_for(sheet: Sheet, liner: np.ndarray) -> np.ndarray:
    """Whether one of the rules that name an attack speaks of this liner in this medium."""
    ethylene = np.isin(liner, ("EPDM", "IIR")) & (sheet["is_mineral_oil"] | sheet["is_fat"])
    nitrile = np.isin(liner, ("NBR", "HNBR", "CR", "NR", "CSM")) & sheet["is_aromatic_chlorinated"]
    fluoro = (liner == "FKM") & (sheet["is_ketone_ester_ether"] | sheet["is_amine"])
    acid = np.isin(liner, ("EPDM", "NBR", "HNBR", "NR", "CR")) & sheet["is_oxidising_acid"]
    ozone = np.isin(liner, ("NBR", "NR")) & sheet["is_ozone"]
    return np.asarray(ethylene | nitrile | fluoro | acid | ozone | sheet["is_hypochlorite"] | sheet["is_steam"])


def disc_columns(sheet: Sheet) -> Sheet:
    """Resistance of the disc that stands in the sheet; the worst of all its media."""
    named = sheet["disc"] != ""
    letter = np.full(len(sheet), A, np.int8)
    coat = np.full(len(sheet), A, np.int8)
    seen = np.zeros(len(sheet), bool)
    for medium, temperature, strength in _media(sheet):
        there = np.flatnonzero(medium >= 0)
        state = medium[there], temperature[there], strength[there]
        for worst, metal in ((letter, sheet["disc"][there]), (coat, "PA_coated_DI")):
            found = metal_rating(state[0], metal, *state[1:])
            worst[there] = np.where(found != UNKNOWN, np.minimum(worst[there], found), worst[there])
        seen[there] = True
    covered = sheet["disc"] == "rubber_covered"
    letter = np.where(covered, np.where(sheet["liner_letter"] == UNKNOWN, B, sheet["liner_letter"]), letter)
    disc = sheet["disc"]
    # in warm or acid chloride water the table's refusal of 316 stands beside the condition of R072; in cool water that condition is enough
    harsh = (sheet["t_max"] > limit("R072", "chloride_warm_from")) | (sheet["ph_low"] < limit("R072", "chloride_acid_below"))
    cool_chloride = (sheet["is_sea_water"] | sheet["is_chloride_water"]) & ~harsh
    steel = np.isin(disc, ("CF8M", "CF3M", "CF8", "CF10MC_4581")) & (sheet["is_halide_acid"] | cool_chloride)
    copper = np.isin(disc, ("NiAlBz", "AlBz_lowNi", "CC480K")) & (
        sheet["is_ammonia"] | sheet["is_polluted_sulphide"] | sheet["is_acetylene"]
    )
    iron = np.isin(disc, ("GJS-400-15", "GJL-250", "WCB")) & sheet["is_wet"]
    polyamide_named = (disc == "PA_coated_DI") & (sheet["is_hypochlorite"] | (sheet["ph_low"] < 4))
    attack = steel | copper | iron | polyamide_named
    return _marked(sheet, named & seen, disc_letter=letter, pa11_letter=coat, named_metal_attack=attack)


def bush_columns(sheet: Sheet) -> Sheet:
    """Limit and attack of the shaft bush that stands in the sheet."""
    found = bushes.limits(sheet["bush"], sheet["is_wet"])
    attacked = np.zeros(len(sheet), bool)
    chemistry = {"chlorine_hypochlorite": sheet["is_hypochlorite"], "ammonia": sheet["is_ammonia"], "acids": sheet["ph_low"] < 3}
    for head, here in chemistry.items():
        attacked |= here & bushes.attacked(sheet["bush"], head)
    return _marked(sheet, sheet["bush"] != "", bush_t_max=found.t_max, bush_attacked=attacked)


VALVE_NUMBERS = (
    "mass", "disc_diameter", "disc_edge_thickness", "edge_radius", "land", "liner_thickness", "interference", "shaft_diameter",
    "shaft_pieces",
    "joint_share", "span", "square", "seat_rating", "dead_end_rating", "thread_depth", "centre_to_top", "centre_to_bottom",
    "body_outside", "neck",
)  # fmt: skip
VALVE_WORDS = ("retention", "top_flange", "lifting", "centred_for", "face_to_face_series")


def valve_columns(sheet: Sheet, maker: Maker) -> Sheet:
    """Figures of the maker's valve for body style, size and rating; missing where he makes none."""
    valves = maker.table("valves")
    row = row_of(maker, sheet["body_style"], sheet["dn"], sheet["pn_valve"])
    there = row >= 0
    at = np.where(there, row, 0)
    numbers = {name: np.where(there, valves[name][at], np.nan) for name in VALVE_NUMBERS}
    words = {f"valve_{name}" if name == "face_to_face_series" else name: np.where(there, valves[name][at], "") for name in VALVE_WORDS}
    numbers["dead_end_pressure"] = numbers.pop("dead_end_rating")
    length = np.where(there, valves["face_to_face"][at], np.nan)
    sheet = _marked(sheet, there, valve_row=np.where(there, row, -1), face_to_face_series=length, **numbers, **words)
    return range_columns(sheet, maker)


def range_columns(sheet: Sheet, maker: Maker) -> Sheet:
    """Whether the maker has this size in this style (in any style, where none is named), and his range in words."""
    styles = np.unique(maker.table("valves")["body_style"])
    ranges = {str(s): range_text(maker, str(s)) for s in styles}
    every = "; ".join(f"{s.replace('_', '-')} {r}" for s, r in ranges.items())
    in_style = {s: np.isin(sheet["dn"], maker.table("valves")["dn"][maker.table("valves")["body_style"] == s]) for s in ranges}
    any_style = np.logical_or.reduce(list(in_style.values()))
    style = sheet["body_style"]
    named = [style == s for s in ranges]
    made = np.select(named, list(in_style.values()), any_style)
    told = np.array([*ranges.values(), every])[np.select(named, range(len(ranges)), len(ranges))]
    known = ~np.isnan(sheet["dn"])
    return _marked(sheet, known, in_range=made, maker_range=told)
