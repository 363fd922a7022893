"""What is not given and has a usual value: taken, marked assumed, and its reason kept. Nothing else of the chain knows a default."""

import numpy as np

from softseat.media.water import saturation_temperature
from softseat.selection.limits import limit
from softseat.sheet import ASSUMED, DERIVED, GIVEN, UNREADABLE, Sheet

ATMOSPHERE = 101325.0
GRAVITY = 9.80665  # [m/s2]
WATER = 1000.0  # [kg/m3] where no density is stated


def settle(sheet: Sheet) -> Sheet:
    """The Sheet with its defaults filled in (fields.csv, house_limits.csv), each as an assumption with its reason."""
    for step in (_stated, _implausible, _ambient, _pumps, _pressures, _temperatures, _states, _rating, _duty, _papers):
        sheet = step(sheet)
    return sheet


def _stated(sheet: Sheet) -> Sheet:
    """What was given before any default: rules that ask about a blank cell read these."""
    return sheet.adding(
        DERIVED,
        shutoff_asked=sheet["shutoff"].copy(),
        coating_asked=sheet["coating"].copy(),
        t_max_given=sheet["t_max"].copy(),
        missing_must=missing_must(sheet),
        t_excursion_or_none=np.where(np.isnan(sheet["t_excursion"]), -np.inf, sheet["t_excursion"]),
        pressure_typed=np.where(np.isnan(sheet["p1_typed"]), sheet["p_min_typed"], sheet["p1_typed"]) * 1e5,
        t_min_stated=np.where(sheet.state["t_min"] == GIVEN, sheet["t_min"], np.nan),
        t_lowest=sheet["t_min"].copy(),
        t_highest=np.fmax(sheet["t_max"], sheet["t_normal"]),
        quantity_given=np.where(sheet.state["quantity"] == GIVEN, sheet["quantity"], np.nan),
    )


def _implausible(sheet: Sheet) -> Sheet:
    """A temperature that cannot be right is no known datum: the rules on heat and cold cannot say until it is answered (R008)."""
    for name in ("t_min", "t_normal", "t_max"):
        hot = (sheet[name] > limit("R008", "t_high_plausible") + 0.05) & ~sheet["is_naturally_hot"]
        cold = (sheet[name] < limit("R008", "t_low_plausible") - 0.05) & ~sheet["is_naturally_cold"]
        bad = hot | cold
        if bad.any():
            sheet = sheet.filling(name, bad, np.nan, UNREADABLE)
    return sheet


def missing_must(sheet: Sheet) -> np.ndarray:
    """Names of the must-have cells that are empty and have no usual value, in the buyer's words. Shape (items,)."""

    def none_of(*names: str) -> np.ndarray:
        return np.logical_and.reduce([np.isnan(sheet[n]) for n in names])

    lacking = {
        "medium": sheet["medium"] == "",
        "size": np.isnan(sheet["dn"]),
        "highest pressure": none_of("p1", "p_max", "p_design", "p_min"),
        "temperature": none_of("t_min", "t_normal", "t_max") & ~(sheet["is_steam"] & ~none_of("p1", "p_max")),
    }
    which = sum((where.astype(int) << k for k, where in enumerate(lacking.values())), np.zeros(len(sheet), int))
    every = [", ".join(name for k, name in enumerate(lacking) if number >> k & 1) for number in range(2 ** len(lacking))]
    return np.array(every)[which]


def _ambient(sheet: Sheet) -> Sheet:
    indoor = np.isin(sheet["installation"], ("", "indoor"))
    low = np.where(indoor, limit("X_default", "t_min_default"), limit("X_default", "ambient_min_default"))
    sheet = sheet.filling("ambient_min", np.isnan(sheet["ambient_min"]), low, reason="indoor 5 C, else -10 C, where nothing is said")
    high = limit("X_default", "ambient_max_default")
    return sheet.filling("ambient_max", np.isnan(sheet["ambient_max"]), high, reason="40 C where nothing is said")


def _pumps(sheet: Sheet) -> Sheet:
    """Of a pump both heads, where one of them is said."""
    ratio = limit("X_flow", "pump_shutoff_ratio")
    duty, shut = sheet["pump_head"], sheet["shutoff_head"]
    reason = f"shut-off head of the pump taken as {ratio:g} times its duty head"
    sheet = sheet.filling("shutoff_head", np.isnan(shut) & (duty > 0), ratio * duty, reason=reason)
    return sheet.filling("pump_head", np.isnan(duty) & (shut > 0), shut / ratio, reason=reason)


def _pressures(sheet: Sheet) -> Sheet:
    none = np.isnan(sheet["p_max"])
    sheet = sheet.filling("p_max", none, sheet["p_design"], DERIVED)
    # a highest pressure that is only the operating one once more was not said
    none = np.isnan(sheet["p_max"]) | ((sheet.state["p_max"] == ASSUMED) & (sheet["p_max"] == sheet["p1"]))
    weight = GRAVITY * np.where(np.isnan(sheet["density"]), WATER, sheet["density"])
    shut = sheet["p1"] + weight * np.maximum(sheet["shutoff_head"] - sheet["pump_head"], 0.0)
    sheet = sheet.filling("p_max", none & ~np.isnan(shut), shut, reason="operating pressure and what the pump gains when it is shut off")
    none = np.isnan(sheet["p_max"])
    sheet = sheet.filling("p_max", none & ~np.isnan(sheet["p1"]), sheet["p1"], reason="operating pressure taken as the highest")
    rated = ATMOSPHERE + sheet["pn"] * 1e5
    none = np.isnan(sheet["p_max"]) & ~np.isnan(rated)
    sheet = sheet.filling("p_max", none, rated, reason="rating of the line taken as the highest pressure")
    none = np.isnan(sheet["p1"]) & ~np.isnan(sheet["p_max"])
    sheet = sheet.filling("p1", none, sheet["p_max"], reason="highest pressure taken as the operating pressure")
    highest = np.fmax(sheet["p_max"], sheet["p1"])
    lowest = np.fmin(np.fmin(sheet["p_min"], sheet["p1"]), ATMOSPHERE)
    sheet = sheet.adding(DERIVED, p_highest=np.fmax(highest, sheet["surge_said"]), vacuum=lowest < ATMOSPHERE - 5e3)
    none = np.isnan(sheet["shutoff"])
    worst = np.fmax(highest - lowest, 0.0)
    return sheet.filling("shutoff", none, worst, reason="highest pressure against the lowest, or against the atmosphere")


def _temperatures(sheet: Sheet) -> Sheet:
    doubtful = np.logical_or.reduce([sheet.state[n] == UNREADABLE for n in ("t_min", "t_normal", "t_max")])
    hot = sheet["ambient_max"]
    boiling = sheet["is_steam"] & np.isnan(sheet["t_max"]) & np.isnan(sheet["t_normal"])
    sheet = sheet.filling("t_max", boiling, saturation_temperature(sheet["p1"]), reason="saturated steam at the operating pressure")
    only_cold = np.isnan(sheet["t_max"]) & np.isnan(sheet["t_normal"]) & ~np.isnan(sheet["t_min"]) & ~doubtful
    cleaned = only_cold & ~np.isnan(sheet["t_excursion"])
    sheet = sheet.filling("t_max", cleaned, np.fmax(hot, sheet["t_min"]), reason="only the excursion is stated: highest ambient taken")
    none = np.isnan(sheet["t_max"]) & ~doubtful
    sheet = sheet.filling(
        "t_max", none & ~np.isnan(sheet["t_normal"]), sheet["t_normal"], reason="operating temperature taken as the highest"
    )
    none = np.isnan(sheet["t_max"]) & ~np.isnan(sheet["t_min"]) & ~doubtful
    sheet = sheet.filling("t_max", none, sheet["t_min"], reason="only one temperature is stated")
    none = np.isnan(sheet["t_normal"]) & ~np.isnan(sheet["t_max"])
    sheet = sheet.filling("t_normal", none, sheet["t_max"], reason="highest temperature taken as the operating one")
    none = np.isnan(sheet["t_min"]) & ~np.isnan(sheet["t_normal"])
    low = np.fmin(sheet["ambient_min"], sheet["t_normal"])
    sheet = sheet.filling("t_min", none, low, reason="lowest ambient taken as the lowest temperature")
    hottest = np.fmax(sheet["t_max"], sheet["t_excursion"])
    return sheet.adding(DERIVED, t1=sheet["t_normal"].copy(), t_hottest=hottest, excursion_hot=sheet["t_excursion"] > 333.15)


def _states(sheet: Sheet) -> Sheet:
    phase = sheet["medium_phase"]
    state = np.select(
        [sheet["is_steam"], phase == "gas", phase == "two-phase", phase == "slurry", phase == "powder", phase == "liquefied gas"],
        ["steam", "gas", "gas", "slurry", "powder", "liquid"],
        np.where(phase == "", "", "liquid"),
    )
    given = sheet["state"] != ""
    # a flow in normal cubic metres is a gas, whatever the table says of the phase
    gas_flow = np.isin(sheet["flow_kind"], ("normal_gas", "standard_gas")) & ~given
    state = np.where(gas_flow & (state != "steam"), "gas", state)
    sheet = sheet.filling("state", ~given, state, DERIVED)
    sheet = sheet.filling("fluid_group", np.isnan(sheet["fluid_group"]), sheet["medium_group"], DERIVED)
    sheet = sheet.filling("flash_point", np.isnan(sheet["flash_point"]), sheet["medium_flash"], DERIVED)
    return sheet


def _rating(sheet: Sheet) -> Sheet:
    gauge = (sheet["p_highest"] - ATMOSPHERE) / 1e5
    ladder = np.array([10.0, 16.0, 25.0])
    step = ladder[np.clip(np.searchsorted(ladder, np.nan_to_num(gauge) - 1e-6), 0, 2)]
    none = np.isnan(sheet["pn"]) & ~np.isnan(gauge)
    why = "smallest rating that carries the highest pressure"
    label = np.char.add("PN", step.astype(int).astype(str))
    sheet = sheet.filling("rating", none & (sheet["rating"] == ""), label, reason=why)
    sheet = sheet.filling("pn", none, step, reason=why)
    return sheet.adding(DERIVED, pn_pressure=sheet["pn"] * 1e5)


def _duty(sheet: Sheet) -> Sheet:
    sheet = sheet.filling("duty", (sheet["duty"] == "") & sheet["throttles"], "control", DERIVED)
    taken = (sheet["p1"] - sheet["p2"] > limit("X_default", "drop_of_control")) & (sheet.state["p2"] == GIVEN) & ~np.isnan(sheet["flow"])
    why = "a pressure behind is given: at that flow the valve takes the difference"
    sheet = sheet.filling("duty", (sheet["duty"] == "") & taken, "control", reason=why)
    sheet = sheet.filling("fail", sheet["fail"] == "", "stay", reason="stays where it is where nothing is said")
    sheet = sheet.filling("duty", sheet["duty"] == "", "onoff", reason="on-off where nothing is said")
    cycles = limit("X_default", "cycles_default")
    sheet = sheet.filling("cycles", np.isnan(sheet["cycles"]), cycles, reason="under one a week where nothing is said")
    air = np.isin(sheet["operator"], ("pneumatic_da", "pneumatic_sr", ""))
    low = limit("R116", "air_min_default") + ATMOSPHERE
    sheet = sheet.filling("air_min", np.isnan(sheet["air_min"]) & air, low, reason="lowest air pressure 5.5 bar(g) where nothing is said")
    high = limit("R116", "air_max_default") + ATMOSPHERE
    return sheet.filling("air_max", np.isnan(sheet["air_max"]) & air, high, reason="highest air pressure 7 bar(g) where nothing is said")


def _papers(sheet: Sheet) -> Sheet:
    sheet = sheet.filling("test_standard", sheet["test_standard"] == "", "EN 12266-1", ASSUMED, "usual test standard, rate A")
    sheet = sheet.filling("certificates", sheet["certificates"] == "", "2.2", ASSUMED, "2.2; 3.1 for the body on request")
    return sheet
