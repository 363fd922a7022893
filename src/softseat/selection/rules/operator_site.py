"""The operator on its site. (R123-R129, R136)"""

import numpy as np

from softseat.register import rule

CONTROL = ("control", "throttle")


@rule("R123", partial=True)
def neck_too_short(insulation: np.ndarray, neck: np.ndarray, *, insulation_limit: float) -> np.ndarray:
    """Insulation of {insulation} and a neck of {neck}: the top flange lies inside the insulation."""
    return (insulation > insulation_limit) & (neck < insulation + 0.05)


@rule("R124", parts=("operator",), partial=True)
def sealing_not_named(operator: np.ndarray, installation: np.ndarray, sealed_operator: np.ndarray) -> np.ndarray:
    """{installation}, and the sealing of the operator is not named."""
    return np.isin(installation, ("buried", "submerged")) & (operator != "bare_shaft") & ~sealed_operator


@rule("R125", partial=True)
def pointer_not_tied(pointer: np.ndarray) -> np.ndarray:
    """The pointer sits {pointer}: it can lie about the disc."""
    return (pointer != "") & (pointer != "keyed to the shaft end")


@rule("R126", worst="low", parts=("operator",), partial=True)
def backlash_at_the_seat(duty: np.ndarray, operator: np.ndarray, opening_normal: np.ndarray, *, opening_stop: float) -> np.ndarray:
    """Control at {opening_normal} with the backlash of a gear: it jumps from the seat."""
    return np.isin(duty, CONTROL) & (operator == "gear") & (opening_normal < opening_stop)


@rule("R127", partial=True)
def soft_parts_unchecked(actuator_soft_parts_checked: np.ndarray) -> np.ndarray:
    """The operator's own seals and grease are to be checked for this site."""
    return actuator_soft_parts_checked == "no"


@rule("R128", parts=("bush",), partial=True)
def bush_limit(bush: np.ndarray, t_max: np.ndarray, bush_t_max: np.ndarray, bush_attacked: np.ndarray) -> np.ndarray:
    """The bush {bush} stands {bush_t_max}, asked is {t_max}, or the medium attacks it."""
    return (t_max > bush_t_max + 0.01) | bush_attacked


@rule("R129", parts=("operator",), partial=True)
def spring_without_air(operator: np.ndarray, no_air_yet: np.ndarray, hand_override: np.ndarray) -> np.ndarray:
    """A spring-return operator is to be fitted before there is air on site."""
    return (operator == "pneumatic_sr") & no_air_yet & ~hand_override


@rule("R136", partial=True)
def acts_as_check_valve(acts_as_check: np.ndarray, relief_words: np.ndarray) -> np.ndarray:
    """Asked to act as a non-return or relief valve: a butterfly does neither."""
    return acts_as_check | relief_words
