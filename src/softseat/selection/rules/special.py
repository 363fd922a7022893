"""Duties that are refused, or offered only with somebody's statement. (R160-R170)"""

import numpy as np

from softseat.register import CANNOT_SAY, HOLDS, HOLDS_NOT, rule

ATMOSPHERE = 101325.0


@rule("R160", partial=True)
def steam_line(is_steam: np.ndarray, state: np.ndarray) -> np.ndarray:
    """Steam as line medium: heat, wet ageing, hammer."""
    return is_steam | (state == "steam")


@rule("R161", partial=True)
def fire_tested_asked(fire_tested: np.ndarray) -> np.ndarray:
    """A fire-tested valve is asked: rubber is the only seat and flange barrier here."""
    return fire_tested


@rule("R162", partial=True)
def flammable_liquid(
    flammable: np.ndarray, is_liquid: np.ndarray, flash_point: np.ndarray, t_max: np.ndarray, tank_nozzle: np.ndarray,
    is_liquefied: np.ndarray, *, flash: float,
) -> np.ndarray:  # fmt: skip
    """Flammable liquid (flash point {flash_point}) at {t_max}, or at a tank nozzle: the liner burns out."""
    hot = t_max - flash_point >= flash
    combustible = is_liquid & ((flammable >= 1) | ~np.isnan(flash_point))
    unknown = is_liquid & (flammable == 2) & np.isnan(flash_point)
    # a fuel with a flash point (diesel, kerosene) burns in the fire of its tank bund, however cool it flows
    fuel = (flammable == 2) | ((flammable == 1) & ~np.isnan(flash_point))
    sure = combustible & hot | (is_liquid & ((fuel & tank_nozzle) | ((flammable == 2) & is_liquefied)))
    return np.select([sure, unknown], [HOLDS, CANNOT_SAY], HOLDS_NOT)


@rule("R163", partial=True)
def toxic_gas(is_toxic_gas: np.ndarray) -> np.ndarray:
    """Toxic or lethal gas: it permeates rubber, and there is one shaft seal only."""
    return is_toxic_gas


@rule("R182", partial=True)
def toxic_liquid(is_toxic_liquid: np.ndarray, toxic: np.ndarray, is_liquid: np.ndarray) -> np.ndarray:
    """A small leak of this liquid hurts people."""
    return (is_toxic_liquid | (toxic >= 2)) & is_liquid  # 2: the media table says yes


@rule("R185", partial=True)
def unstable_gas(is_unstable_gas: np.ndarray) -> np.ndarray:
    """A gas that can decompose by itself, without air: a heated or broken seat is no barrier."""
    return is_unstable_gas


@rule("R164", partial=True)
def oxygen_service(
    is_oxygen: np.ndarray, oxygen_named: np.ndarray, is_oxidiser_gas: np.ndarray, oxygen: np.ndarray, is_gas: np.ndarray, *, o2: float
) -> np.ndarray:
    """Oxygen, or gas rich in oxygen ({oxygen}): a large area of rubber burns."""
    return is_oxygen | oxygen_named | is_oxidiser_gas | (is_gas & (oxygen > o2 + 1e-9))


@rule("R165", partial=True)
def hydrogen_service(
    is_hydrogen: np.ndarray, is_helium: np.ndarray, hydrogen: np.ndarray, p_highest: np.ndarray, is_gas: np.ndarray,
    is_hydrogen_share: np.ndarray, *, h2_pressure: float, h2_rich: float,
) -> np.ndarray:  # fmt: skip
    """Hydrogen, helium or a gas rich in hydrogen at {p_highest}: permeation, leak class, ignition."""
    rich = is_hydrogen | is_helium | (is_gas & (hydrogen > h2_rich))
    share = ~rich & (is_hydrogen_share | (is_gas & (hydrogen > 0)))
    high = p_highest - ATMOSPHERE > h2_pressure + 1.0
    # below that pressure a gas seat test and an ignition assessment come first
    return np.select([rich & high, share | (rich & ~is_helium)], [HOLDS, CANNOT_SAY], HOLDS_NOT)


@rule("R166", partial=True)
def hazard_zone(zone_inside: np.ndarray) -> np.ndarray:
    """Zone {zone_inside}: ignition assessment and continuity of disc, shaft and body."""
    return zone_inside != ""


@rule("R167", partial=True)
def explosion_barrier(explosion_isolation: np.ndarray) -> np.ndarray:
    """Asked as an explosion barrier: an ordinary valve is none."""
    return explosion_isolation


@rule("R168", partial=True)
def safety_function(sil: np.ndarray) -> np.ndarray:
    """A safety function is claimed: failure data and proof test are needed."""
    return sil


@rule("R169", partial=True)
def man_entry_isolation(man_entry: np.ndarray) -> np.ndarray:
    """Isolation for people by one valve: a single soft seat is no positive isolation."""
    return man_entry


@rule("R170", partial=True)
def cryogenic(t_min: np.ndarray, *, cryo: float) -> np.ndarray:
    """{t_min}: rubber is glass."""
    return t_min < cryo - 0.01
