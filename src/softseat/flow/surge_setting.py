"""The two-speed stroke that shuts one valve soonest within what its line allows: a search over angle and times."""

from dataclasses import dataclass

import numpy as np

from softseat.flow.surge_case import MEMBERS, Case, Stroke, band, closings

BREAKS = np.array([8.0, 12.0, 16.0, 20.0, 25.0, 30.0, 40.0])  # openings at which it turns slow [deg]
SHARES = np.array([0.08, 0.15, 0.25, 0.35, 0.5, 0.65])  # of the whole stroke for the fast part
TIMES = np.geomspace(0.12, 1.0, 14)  # whole stroke over the safe even one
LONGER = np.array([1.0, 1.06, 1.13, 1.21, 1.3, 1.42, 1.56, 1.75])  # tried where the bad end of the band asks for more
TRIED = 12  # pairs of angle and share that are proved with the whole band


@dataclass(frozen=True, slots=True)
class TwoSpeed:
    """A setting and what it does at the bad end of the band."""

    stroke_time: float  # [s]
    break_opening: float  # [deg]
    break_time: float  # [s]
    peak: float  # [m]
    lowest: float  # [m]


def two_speed(case: Case, room: float, floor: float, least: float, even: float) -> TwoSpeed | None:
    """The shortest two-speed stroke of the first item that keeps to the allowed heads; none where it does not beat the even one.

    Parameters
    ----------
    case : Case
        The item.
    room, floor : float
        Highest and lowest head allowed. [m]
    least : float
        No fast part or whole stroke shorter than this. [s]
    even : float
        Shortest safe even stroke. [s]
    """
    one = case.take(np.array([0]))
    angle, share, total = (a.ravel() for a in np.meshgrid(BREAKS, SHARES, TIMES * even, indexing="ij"))
    usable = total >= least
    if not usable.any():
        return None
    angle, share, total = angle[usable], share[usable], total[usable]
    head = float(case.head[0])
    # the band widens what one run gives: the search keeps that much away from the limits
    spare = closings(one, Stroke(np.array([even])))
    best, bad = spare.peak[0, 0], band(spare.peak)[2, 0]
    near = head + (room - head) * (best - head) / (bad - head) if bad > head else room
    found = closings(case.take(np.zeros(len(total), int)), Stroke(total, "two-speed", angle, share * total), 4, members=MEMBERS[:1])
    good = np.flatnonzero((found.peak[0] <= near) & (found.lowest[0] >= floor))
    # of each angle and share the shortest, and of these the shortest few: what is best in one run may have the worse band
    _, first = np.unique(np.stack([angle[good], share[good]]), axis=1, return_index=True)
    tried = good[first][np.argsort(total[good[first]], kind="stable")[:TRIED]]
    return _proved(one, total[tried], angle[tried], share[tried], (room, floor, even)) if len(tried) else None


def _proved(case: Case, total: np.ndarray, angle: np.ndarray, share: np.ndarray, limits: tuple[float, float, float]) -> TwoSpeed | None:
    """The shortest of these settings, each made longer until its bad end keeps to the limits too."""
    room, floor, even = limits
    times, angle, share = (a.ravel() for a in np.broadcast_arrays(total[:, None] * LONGER, angle[:, None], share[:, None]))
    ends = closings(case.take(np.zeros(len(times), int)), Stroke(times, "two-speed", angle, share * times))
    peak, lowest = band(ends.peak)[2], band(ends.lowest)[0]
    good = np.flatnonzero((peak <= room) & (lowest >= floor) & (times < 0.9 * even))
    if not len(good):
        return None
    k = good[np.lexsort((peak[good], times[good]))[0]]
    return TwoSpeed(float(times[k]), float(angle[k]), float(share[k] * times[k]), float(peak[k]), float(lowest[k]))
