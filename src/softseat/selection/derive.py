"""What follows from the duty alone, before any build is chosen: properties, speed, families, neighbours in the schedule."""

import numpy as np

from softseat.media.properties import properties
from softseat.media.water import saturation_temperature
from softseat.piping.standards import superseded
from softseat.selection.limits import limit
from softseat.sheet import ASSUMED, DERIVED, MISSING, Sheet

ATMOSPHERE = 101325.0
ROOM = 293.15  # [K]
NORMAL_T = 273.15  # [K], reference of the normal cubic metre


def derive(sheet: Sheet) -> Sheet:
    """The Sheet with everything that the duty alone decides."""
    for step in (_phase, _fluid, _speed, _chemistry, _line, _words, _saturation):
        sheet = step(sheet)
    return sheet


def _marked(sheet: Sheet, **columns: np.ndarray) -> Sheet:
    """Derived columns, missing where they are nan."""
    for name, column in columns.items():
        bad = np.isnan(column) if column.dtype.kind == "f" else np.zeros(len(sheet), bool)
        sheet = sheet.adding(np.where(bad, MISSING, DERIVED).astype(np.uint8), **{name: column})
    return sheet


def _phase(sheet: Sheet) -> Sheet:
    state = sheet["state"]
    gas = np.isin(state, ("gas", "steam"))
    liquid = np.isin(state, ("liquid", "slurry", "two-phase", "two_phase"))
    wet_gas = sheet["medium_phase"] == "two-phase"
    known = (state != "") | (sheet["medium"] == "")
    mark = np.where(known, DERIVED, MISSING).astype(np.uint8)
    liquefied = sheet["is_liquefied"] | ((state == "liquid") & (sheet["medium_phase"] == "gas"))
    return sheet.adding(
        mark,
        is_gas=gas,
        is_liquid=liquid,
        is_dry=(gas & ~wet_gas & (state != "steam")) | (state == "powder"),
        is_wet=liquid,
        is_liquefied=liquefied,
        is_dangerous=sheet["fluid_group"] == 1,
    )


def _fluid(sheet: Sheet) -> Sheet:
    """Properties at the operating point; what the buyer states goes before what is looked up."""
    temperature = np.where(np.isnan(sheet["t1"]), ROOM, sheet["t1"])  # a property at room temperature is better than none
    found = properties(sheet["medium_id"], temperature, sheet["p1"], sheet["concentration"], sheet["state"])
    for name in ("density", "pv", "viscosity", "molar_mass", "gamma", "z"):
        stated = sheet[name] if name in sheet else np.full(len(sheet), np.nan)
        value = np.where(np.isnan(stated), found[name], stated)
        sheet = _marked(sheet, **{name: value}) if name not in sheet else sheet.filling(name, np.isnan(stated), value, DERIVED)
    sheet = _marked(sheet, pc=found["pc"], sound_speed=found["sound_speed"], boiling=found["boiling"])
    with np.errstate(divide="ignore", invalid="ignore"):
        stated = sheet["kinematic_viscosity"]
        return _marked(sheet, kinematic_viscosity=np.where(np.isnan(stated), sheet["viscosity"] / sheet["density"], stated))


def _speed(sheet: Sheet) -> Sheet:
    """Actual flow and velocity in the nominal bore, at the highest flow stated and at the normal one."""
    highest = np.fmax(sheet["flow"], sheet["flow_max"])
    lowest = np.fmin(sheet["flow"], sheet["flow_min"])
    with np.errstate(divide="ignore", invalid="ignore"):
        expand = ATMOSPHERE / sheet["p1"] * sheet["t1"] / NORMAL_T * np.where(np.isnan(sheet["z"]), 1.0, sheet["z"])
        by_mass = sheet["mass_flow"] / sheet["density"]
        to_actual = np.where(sheet["is_gas"], expand, 1.0)
        actual = {
            "actual_flow": np.where(np.isnan(highest), by_mass, highest * to_actual),
            "actual_flow_normal": np.where(np.isnan(sheet["flow"]), np.where(np.isnan(highest), by_mass, highest * to_actual),
                                           sheet["flow"] * to_actual),
            "actual_flow_min": lowest * to_actual,
        }  # fmt: skip
        area = np.pi / 4 * (sheet["dn"] * 1e-3) ** 2
        velocity = actual["actual_flow"] / area
        mach = velocity / np.where(sheet["is_gas"], sheet["sound_speed"], np.inf)
    # a flow that cannot be right is no known datum: size, noise and surge wait for the answer (R004)
    gas = sheet["is_gas"]
    slipped = velocity > np.where(gas, limit("R004", "slip_velocity_gas"), limit("R004", "slip_velocity_liquid"))
    sheet = _marked(sheet, velocity_stated=velocity)
    actual = {name: np.where(slipped, np.nan, value) for name, value in actual.items()}
    sheet = _marked(sheet, velocity_line=np.where(slipped, np.nan, velocity))
    return _marked(sheet, velocity=np.where(slipped, np.nan, velocity), mach=np.where(slipped, np.nan, mach), **actual)


def _chemistry(sheet: Sheet) -> Sheet:
    stated = np.where(np.isnan(sheet["opening"]), sheet["opening_percent"] * 90.0, sheet["opening"])
    sheet = _marked(sheet, opening=stated)
    low = np.fmin(sheet["ph"], np.where(np.isnan(sheet["ph"]), np.nan, sheet["ph"]))
    for name in ("ph_min", "medium_ph_min"):
        if name in sheet:
            low = np.where(np.isnan(low), sheet[name], low)
    oil_known = sheet["oil_free"] | (sheet["oil"] >= 0) | sheet["oil_carry"] | ~sheet["is_compressed_air"]
    oil_known |= sheet["p_highest"] - ATMOSPHERE < limit("R041", "fan_pressure")  # of fans and blowers
    names = zip(sheet["medium_name"].tolist(), sheet["medium"].tolist(), strict=True)
    helium = np.array(["helium" in name.lower() and "helium" in typed.lower() for name, typed in names], bool)
    oily_in_schedule = sheet["oily_in_schedule"] if "oily_in_schedule" in sheet else both_oily_and_not(oily(sheet))
    approvals_named = sheet["approvals"] != ""
    generic = np.isin(sheet["approvals"], ("potable", "food", "drinking water"))
    return sheet.adding(
        DERIVED,
        ph_low=low,
        oil_known=oil_known,
        is_helium=helium,
        oily_in_schedule=oily_in_schedule,
        approvals_named=approvals_named & ~generic,
        hydrogen=np.where(sheet["hydrogen_said"] > 0, sheet["hydrogen_said"], np.nan),
    )


def oily(sheet: Sheet) -> np.ndarray:
    """Items that carry oil, fat or oily air."""
    return np.asarray(sheet["is_mineral_oil"] | sheet["is_fat"] | sheet["is_oily_air"] | sheet["oil_carry"])


def both_oily_and_not(carries: np.ndarray) -> np.ndarray:
    """Whether a schedule has lines of both kinds, for each of its items."""
    return np.full(carries.size, bool(carries.any() and (~carries).any()))


def _line(sheet: Sheet) -> Sheet:
    """Distances to the neighbours; which family of flange standards the rating and the drilling belong to."""
    upstream = np.fmin(sheet["straight_upstream"], sheet["upstream_d"])
    nozzle = sheet["nozzle_d"]
    nozzle = np.where(np.isnan(nozzle) & sheet["pump_suction"], sheet["straight_downstream"], nozzle)
    neighbour = np.where(np.isnan(sheet["neighbour_d"]), np.nan, sheet["neighbour_d"])
    insulation = np.where(np.isnan(sheet["insulation"]), sheet["insulation_mm"], sheet["insulation"])
    family, rating_family = _family(sheet["system"]), _family(sheet["rating"])
    with np.errstate(invalid="ignore", divide="ignore"):
        settling = limit("R083", "v_settle_plain") * np.ones(len(sheet))
    sheet = _marked(sheet, straight_upstream=upstream, nozzle_distance=nozzle, neighbour_d=neighbour, insulation=insulation)
    return sheet.adding(DERIVED, system_family=family, rating_family=rating_family, settling_velocity=settling)


FAMILIES = {
    "ASME": ("CLASS", "ASME", "B16", "ANSI"),
    "BS 10": ("TABLE", "BS 10", "BS10"),
    "JIS": ("JIS", "10K", "16K", "5K"),
    "AS": ("AS 4087", "AS4087"),
    "EN": ("PN", "EN 1092", "DIN"),
}


def _family(text: np.ndarray) -> np.ndarray:
    """EN, ASME, BS 10, AS or JIS by the words of a rating or a drilling standard."""

    def one(said: str) -> str:
        return next((family for family, words in FAMILIES.items() if any(w in said[:40].upper() for w in words)), "")

    every = text.tolist()
    family = {said: one(said) for said in set(every)}
    return np.array([family[said] for said in every], dtype=np.str_)


def _words(sheet: Sheet) -> Sheet:
    """Standards cited that are superseded, as the sentence for the deviations."""
    texts, inverse = np.unique(sheet["specification"], return_inverse=True)
    said = np.array([_superseded(str(t)) if t else "" for t in texts], dtype=np.str_)
    zone = sheet["zone"]
    inside = np.where(np.isin(zone, ("safe", "safe area", "none", "no")), "", zone)
    remark_zone = sheet["zone_said"] if "zone_said" in sheet else np.full(len(sheet), np.nan)
    inside = np.where((inside == "") & ~np.isnan(remark_zone), np.nan_to_num(remark_zone).astype(int).astype(str), inside)
    return sheet.adding(DERIVED, old_standard=said[inverse], zone_inside=inside)


def _superseded(text: str) -> str:
    return " ".join(f"{c.text} is {c.status}: {c.present} stands in its place." for c in superseded(text))


def _saturation(sheet: Sheet) -> Sheet:
    """Saturation temperature at the operating pressure where steam is stated."""
    # where only a highest temperature is stated it belongs to the highest pressure, not to the operating one
    pressure = np.where(sheet.state["t_normal"] == ASSUMED, sheet["p_highest"], sheet["p1"])
    t_sat = np.where(sheet["is_steam"], saturation_temperature(pressure), np.nan)
    return sheet.adding(DERIVED, saturation=t_sat, saturated=sheet["is_steam"])
