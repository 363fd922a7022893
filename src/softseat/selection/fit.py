"""Between those flanges, in that pipe, at that rating: what the build in the Sheet meets there."""

import re

import numpy as np

from softseat.maker.package import Maker
from softseat.piping.assumed import assumed_pipe, named_bore
from softseat.piping.drilling import drilling, usual_system
from softseat.piping.remedy import spacer
from softseat.piping.swing import bore_clearance
from softseat.pressure.category import boils, categories
from softseat.pressure.least import valve_rating
from softseat.pressure.shell import shell_ratings
from softseat.register import HOLDS
from softseat.selection.judge import judge
from softseat.selection.limits import limit
from softseat.sheet import DERIVED, MISSING, Sheet

ATMOSPHERE = 101325.0
SHELF = {"A": "shelf_a", "B": "shelf_b", "C": "shelf_c"}
GROUP = {"NR": "A", "AU": "A", "SBR": "A", "NBR": "B", "HNBR": "B", "CR": "B", "IIR": "B", "EPDM": "C", "FKM": "C", "VMQ": "C", "CSM": "C"}


PIPE = ("pipe_bore_named", "pipe_bore_assumed", "pipe_assumed", "pipe_assumed_question")
FLANGE = ("bolt_circle", "holes", "hole_diameter", "bolt", "bolt_diameter", "flange_outside", "flange_thickness")


def fit(sheet: Sheet, maker: Maker) -> Sheet:
    """The Sheet with drilling, pipe and gap, rating at temperature, equipment category of the build that stands in it."""
    line = sheet if PIPE[0] in sheet else laid(sheet)
    sheet = _pipe(_flange(sheet, line), line)
    for step in (_rating, _category, _shelf):
        sheet = step(sheet)
    return sheet


def laid(sheet: Sheet) -> Sheet:
    """The Sheet with what the line alone tells, whatever valve is put into it: its flanges, and the pipe that goes with it."""
    line = sheet["dn_line"]
    system = np.where(sheet["system"] == "", usual_system(sheet["rating"], line), sheet["system"])
    found = drilling(system, sheet["rating"], line)
    columns = (found.bolt_circle, found.holes, found.hole_diameter, found.bolt, found.bolt_diameter, found.outside_diameter,
               found.flange_thickness)  # fmt: skip
    sheet = _marked(sheet.adding(DERIVED, flange_system=system), **dict(zip(FLANGE, columns, strict=True)))
    named = named_bore(sheet["pipe_system"], _class_only(sheet["pipe_class"]), line, sheet["pipe_od_said"])
    words = [f"{s[:120]} {m[:80]}" for s, m in zip(sheet["service"].tolist(), sheet["medium"].tolist(), strict=True)]
    pipe = assumed_pipe(np.array(words, np.str_), sheet["rating"], line)
    return sheet.adding(DERIVED, **dict(zip(PIPE, (named, pipe.bore, pipe.pipe, pipe.question), strict=True)))


def ringed(sheet: Sheet) -> Sheet:
    """Where the disc would strike a pipe that is known, a ring on each side that lets it clear: the remedy of R143, offered."""
    wanted, edge = limit("R143", "clearance"), np.nan_to_num(sheet["disc_edge_thickness"])
    ring, _ = spacer(sheet["disc_diameter"], sheet["face_to_face_series"], sheet["pipe_bore_used"], wanted, 0.0, edge)
    ring = np.ceil(np.round(ring * 1e3, 3)) * 1e-3
    fits = (judge(sheet, ("R143",))["R143"] == HOLDS) & (ring > 0) & (ring <= limit("R143", "ring_thickest"))
    gap = np.where(fits, np.fmax(sheet["bore_gap"], wanted), sheet["bore_gap"])
    return sheet.adding(DERIVED, spacer=np.where(fits, ring, 0.0)).adding(sheet.state["bore_gap"], bore_gap=gap)


def _marked(sheet: Sheet, **columns: np.ndarray) -> Sheet:
    for name, column in columns.items():
        bad = np.isnan(column) if column.dtype.kind == "f" else column == ""
        sheet = sheet.adding(np.where(bad, MISSING, DERIVED).astype(np.uint8), **{name: column})
    return sheet


def _flange(sheet: Sheet, line: Sheet) -> Sheet:
    system = line["flange_system"]
    named = np.char.add(np.char.add(system.astype("U24"), " "), sheet["rating"].astype("U20"))
    told = (np.char.find(system.astype("U40"), sheet["rating"].astype("U20")) >= 0) & (sheet["rating"] != "")
    named = np.select([system == "", told], [sheet["rating"], system.astype("U46")], np.char.strip(named))
    centred = np.where(sheet["centred_for"] == "", "", np.where(_in_list(sheet["centred_for"], system, sheet["rating"]), "yes", "no"))
    sheet = sheet.adding(DERIVED, drilling=named, centred=centred)
    return sheet if line is sheet else _marked(sheet, **{name: line[name] for name in FLANGE})


def _in_list(centred_for: np.ndarray, system: np.ndarray, rating: np.ndarray) -> np.ndarray:
    """Whether the drilling stands in the maker's list of those that centre the body; EN 1092-1 and -2 are one there."""
    keys = list(zip(centred_for.tolist(), system.tolist(), rating.tolist(), strict=True))
    said = {key: _centres(*key) for key in set(keys)}
    return np.array([said[key] for key in keys], bool)


def _centres(listed: str, system: str, rating: str) -> bool:
    plain = system.replace("1092-1", "1092").replace("1092-2", "1092")
    wanted = (plain if rating and rating in plain else f"{plain} {rating}").strip().casefold()
    return any(wanted == part.strip().casefold() for part in listed.split(";")) or not system


def _pipe(sheet: Sheet, line: Sheet) -> Sheet:
    """Bore of the pipe: given, named by its class, or assumed; an assumed one never gives a fact."""
    given = sheet["pipe_bore"] if "pipe_bore_asked" not in sheet else sheet["pipe_bore_asked"]
    named, usual, pipe, question = (line[name] for name in PIPE)
    bore = np.where(np.isnan(given), named, given)
    known = ~np.isnan(bore)
    same_size = sheet["dn"] == sheet["dn_line"]
    gap, _, _, needed = bore_clearance(
        sheet["disc_diameter"],
        sheet["face_to_face_series"],
        np.where(known, bore, usual),
        sheet["disc_edge_thickness"],
    )
    gap = np.where(same_size, gap, np.nan)
    sheet = sheet.adding(
        DERIVED,
        pipe_bore_asked=given,
        pipe_bore_known=known,
        pipe_told=np.where(known, "", pipe),
        pipe_question=np.where(known, "", question),
        spacer=np.zeros(len(sheet)),
    )
    return _marked(sheet, pipe_bore_used=np.where(known, bore, usual), bore_gap=gap, bore_needed=needed)


def _class_only(pipe_class: np.ndarray) -> np.ndarray:
    """The class without the outside diameter that is often written beside it (SDR11 d225)."""
    words, inverse = np.unique(pipe_class, return_inverse=True)
    return np.array([re.sub(r"\s*\b(d|od|da)\s*\d+\b", "", str(w), flags=re.I) for w in words])[inverse]


def _rating(sheet: Sheet) -> Sheet:
    """Least of shell at temperature, seat, and what the class really carries in this body."""
    body = np.where(sheet["body"] == "", "GJS-400-15", sheet["body"])
    american = np.isin(sheet["rating"], ("Class 150", "Class 125"))
    label = np.char.add("PN", np.nan_to_num(sheet["pn_valve"]).astype(int).astype(str))
    shell = shell_ratings("", body, label, sheet["dn"], sheet["t_max"])
    nominal = sheet["pn_valve"] * 1e5
    shell = np.where(np.isnan(shell), nominal, np.minimum(shell, nominal))
    class_shell, some = np.full(len(sheet), np.nan), np.flatnonzero(american)
    class_shell[some] = shell_ratings("", body[some], sheet["rating"][some], sheet["dn"][some], sheet["t_max"][some])
    seat = np.where(np.isnan(sheet["seat_rating"]), nominal, sheet["seat_rating"])
    # while a side is only taken off now and then the pressure may be lower: R141 says so; an open end bears it always
    dead_end = np.where(sheet["open_end"] & ~np.isnan(sheet["dead_end_pressure"]), sheet["dead_end_pressure"], np.inf)
    pressure, limited = valve_rating(shell, seat, np.inf, dead_end)
    return _marked(
        sheet,
        shell_rating=shell,
        valve_rating=pressure,
        claimed_rating=pressure,
        limited_by=limited,
        class_limit=class_shell,
        difference_rating=np.where(np.isnan(sheet["seat_rating"]), np.nan, seat),
        pn_pressure=np.where(np.isnan(sheet["pn_valve"]), sheet["pn_pressure"], nominal),
    )


def _category(sheet: Sheet) -> Sheet:
    gas = sheet["is_gas"] | boils(sheet["pv"])
    found = categories(gas, sheet["fluid_group"], sheet["dn"], sheet["p_highest"] - ATMOSPHERE)
    given = sheet["category_asked"] if "category_asked" in sheet else sheet["category"]
    sheet = sheet.adding(DERIVED, category_asked=given)
    return _marked(sheet, category=np.where(given == "", found, given).astype("U12"))


def _shelf(sheet: Sheet) -> Sheet:
    years = {liner: limit("R193", SHELF[group]) for liner, group in GROUP.items()}
    words, inverse = np.unique(sheet["liner"], return_inverse=True)
    return _marked(sheet, shelf_years=np.array([years.get(str(w), np.nan) for w in words])[inverse])
