"""The one function that makes a verdict."""

from collections.abc import Mapping

import numpy as np

from softseat.register import CANNOT_SAY, HOLDS

YES, IF, ASK, NO = range(4)
DOUBT = "R005"  # the rule that puts the row itself in doubt
SLIPS = {  # rules that put a figure in doubt, and the stops that rest on it
    "R004": ("R110", "R117", "R118", "R150"),
    "R002": ("R020", "R021", "R037", "R077", "R110", "R117", "R118", "R134"),
}
WORDS = np.array(["yes", "if", "ask", "no"])


def verdict(judged: Mapping[str, np.ndarray], severity: Mapping[str, str], safety: frozenset[str] = frozenset()) -> np.ndarray:
    """Verdict of each item from what every rule says of it.

    Parameters
    ----------
    judged : mapping
        Rule -> HOLDS, HOLDS_NOT or CANNOT_SAY for each item, on one Sheet (as asked, or as offered: the build that is
        least unsure of those the maker has).
    severity : mapping
        Rule -> stop, query, condition, advice, care.
    safety : set of str
        Stops that hold even where the row itself is in doubt (oxygen, toxic gas, fire ...).

    Returns
    -------
    ndarray of int8
        YES, IF, ASK or NO: no where a stop holds on known data; else ask where a query stands or a stop cannot be ruled out;
        else if where a condition stands; else yes.
    """
    size = len(next(iter(judged.values())))

    def any_of(kind: str, answer: int) -> np.ndarray:
        hit = np.zeros(size, bool)
        for rule, said in judged.items():
            if severity[rule] == kind:
                hit |= said == answer
        return hit

    stopped = any_of("stop", HOLDS)
    if DOUBT in judged:
        # the same tag with other data: which line is right is not known, so its stops are no stops on known data
        doubted = judged[DOUBT] == HOLDS
        grave = np.logical_or.reduce([judged[r] == HOLDS for r in safety if r in judged] or [np.zeros(size, bool)])
        stopped &= ~doubted | grave
    for slip, waiting in SLIPS.items():
        if slip in judged:
            others = [said == HOLDS for r, said in judged.items() if severity[r] == "stop" and r not in waiting]
            stopped &= (judged[slip] != HOLDS) | np.logical_or.reduce(others or [np.zeros(size, bool)])
    unsure = any_of("query", HOLDS) | any_of("stop", CANNOT_SAY)
    return np.select([stopped, unsure, any_of("condition", HOLDS)], [NO, ASK, IF], YES).astype(np.int8)
