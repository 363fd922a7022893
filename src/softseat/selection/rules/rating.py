"""Pressure, heat and cold against body and liner. (R020-R037)"""

import numpy as np

from softseat.register import rule

ATMOSPHERE = 101325.0  # [Pa], standard atmosphere


@rule("R020", partial=True)
def beyond_family(p_highest: np.ndarray, p_design: np.ndarray, *, p_family: float) -> np.ndarray:
    """Highest pressure {p_highest} is above 25 bar: outside this family of valves."""
    return np.fmax(p_highest, p_design) - ATMOSPHERE > p_family + 1.0


@rule("R021", parts=("liner",))
def too_hot(
    t_max: np.ndarray, t_excursion_or_none: np.ndarray, liner: np.ndarray, liner_t_max: np.ndarray, liner_t_short: np.ndarray
) -> np.ndarray:
    """{t_max} or the excursion is above the limit of the {liner} liner: {liner_t_max} continuous, {liner_t_short} for a short time."""
    return (t_max > liner_t_max + 0.01) | (t_excursion_or_none > liner_t_short + 0.01)


@rule("R022", parts=("liner",))
def too_cold(t_min: np.ndarray, liner: np.ndarray, liner_t_min: np.ndarray) -> np.ndarray:
    """{t_min} is below the limit of the {liner} liner, {liner_t_min}."""
    return t_min < liner_t_min - 0.01


@rule("R023", parts=("liner",), partial=True)
def excursion_above_limit(t_excursion: np.ndarray, liner: np.ndarray, liner_t_max: np.ndarray, liner_t_short: np.ndarray) -> np.ndarray:
    """A short {t_excursion} stands above the continuous {liner_t_max} of {liner}, below its short limit {liner_t_short}."""
    return (t_excursion > liner_t_max + 0.01) & (t_excursion <= liner_t_short + 0.01)


@rule("R024", parts=("liner",))
def near_the_limit(t_max: np.ndarray, liner: np.ndarray, liner_t_max: np.ndarray, *, t_margin: float) -> np.ndarray:
    """{t_max} is within 10 K of the limit of {liner}, {liner_t_max}: a few years of life only."""
    return (liner_t_max - t_max <= t_margin + 0.01) & (t_max <= liner_t_max + 0.01)


@rule("R025", partial=True)
def cold_start_hot_run(t_min_stated: np.ndarray, t_max: np.ndarray, *, hot_run_from: float, cold_start_to: float) -> np.ndarray:
    """The valve sees both {t_min_stated} and {t_max}: operator for the cold end, tightness at the hot end."""
    return (t_max >= hot_run_from) & (t_min_stated <= cold_start_to)


@rule("R026", parts=("body",), partial=True)
def ductile_class_150(body: np.ndarray, rating: np.ndarray, p_highest: np.ndarray, class_limit: np.ndarray) -> np.ndarray:
    """{p_highest} on a ductile iron Class 150 body, which carries {class_limit} at this temperature."""
    ductile = np.char.startswith(body, "GJS") | np.char.startswith(body, "A536") | np.char.startswith(body, "A395")
    return ductile & (rating == "Class 150") & (p_highest - ATMOSPHERE > class_limit)


@rule("R027", parts=("body",), partial=True)
def grey_class_125(
    body: np.ndarray, rating: np.ndarray, dn: np.ndarray, p_highest: np.ndarray, *, p_ci_125_to12: float, p_ci_125_above12: float
) -> np.ndarray:
    """{p_highest} on a grey iron Class 125 body of DN{dn}: not to be taken as PN16."""
    limit = np.where(dn > 300, p_ci_125_above12, p_ci_125_to12)
    return np.char.startswith(body, "GJL") & (rating == "Class 125") & (p_highest - ATMOSPHERE > limit)


@rule("R028", partial=True)
def rating_not_the_least(
    claimed_rating: np.ndarray, shell_rating: np.ndarray, seat_rating: np.ndarray, difference_rating: np.ndarray
) -> np.ndarray:
    """Seat {seat_rating}, shell {shell_rating}: the valve is rated by the least of them, below the {claimed_rating} claimed."""
    return np.fmin(np.fmin(shell_rating, seat_rating), difference_rating) < claimed_rating - 1.0


@rule("R029", partial=True)
def seat_falls_with_size(dn: np.ndarray, pn_pressure: np.ndarray, seat_rating: np.ndarray) -> np.ndarray:
    """In DN{dn} the seat carries {seat_rating}, less than the body's {pn_pressure}."""
    return (dn > 300) & (seat_rating < pn_pressure - 1.0)


@rule("R030", partial=True)
def line_test_on_disc(line_test: np.ndarray, pn_pressure: np.ndarray, *, line_test_factor: float) -> np.ndarray:
    """A line test of {line_test} against the closed disc: liner and shaft are proved to 1.1 times the rating only."""
    return line_test > line_test_factor * pn_pressure + 1.0


@rule("R031", parts=("body",), partial=True)
def brittle_body(body: np.ndarray, ambient_min: np.ndarray, t_min: np.ndarray, shock: np.ndarray, *, ci_t_min: float) -> np.ndarray:
    """A grey iron body is brittle in frost ({ambient_min} ambient) and under shock."""
    cold = np.fmin(ambient_min, t_min)
    return np.char.startswith(body, "GJL") & ((cold < ci_t_min - 0.01) | shock)


@rule("R036", partial=True)
def both_ways_wanted(both_ways: np.ndarray) -> np.ndarray:
    """Flow or tightness both ways is asked: the seat test is to be said both ways."""
    return both_ways


@rule("R037", worst="low", partial=True)
def over_pressure(p_highest: np.ndarray, valve_rating: np.ndarray) -> np.ndarray:
    """Highest pressure {p_highest} is above the rating at temperature, {valve_rating}."""
    return p_highest - ATMOSPHERE > valve_rating + 1.0
