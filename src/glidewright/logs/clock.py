"""The clock of a recording: midnight, repeated times, a clock that is set anew, and where one flight ends.

A record has strictly rising times. What is done to get there is said in a note; a clock that cannot be
trusted is refused.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from glidewright.base.errors import InputError, Problem
from glidewright.domain.flight_record import Samples

DAY_s = 86400.0
_DIGITS = 6  # microseconds
LONGEST_RECORD_s = 2.0 * DAY_s
_RESTART_SHARE = 0.5  # a clock that falls below this share of the time since the begin has started again
_LATEST_s = 1e11  # no clock in seconds since any begin reads more
_JUMP_s = 60.0  # a single sample that is ahead by more than this is odd wherever the clock goes on
_MOST_ODD, _MOST_ODD_SHARE = 3, 0.02  # samples that may be left out because their time is odd
_MOST_SETTINGS = 20  # of a clock in one file; one that falls back more often is out of order
_LOOKED_AT = 20  # samples behind a fall, in which it must be seen that the clock goes on from there
FEWEST_SAMPLES = 5
Places = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Stretch:
    """One flight of a recording.

    places: its samples; begin_s: the clock at the first of them; time_s: strictly rising times since then;
    notes: what was repaired.
    """

    places: Places
    begin_s: float
    time_s: Samples
    notes: tuple[str, ...]


def stretches(clock_s: Samples, is_time_of_day: bool, where: str) -> list[Stretch]:
    """The clock put in order, cut where it starts again; InputError when it cannot be.

    clock_s: shape (n,), as written. where: name of the log for messages.

    >>> [one.time_s.tolist() for one in stretches(np.array([5.0, 5.0, 6.0, 6.0, 7.0, 7.0]), False, "log")]
    [[0.0, 0.5, 1.0, 1.5, 2.0, 2.5]]
    """
    notes: list[str] = []
    places = np.flatnonzero(np.abs(clock_s) < _LATEST_s)  # a NaN is not
    if places.size < clock_s.size:
        notes.append(f"{_samples(clock_s.size - places.size)} without a time left out.")
    if places.size < 2:
        raise InputError(
            Problem(where, "must have a time at two samples at least; it has not; map the column of the time")
        )
    clock = clock_s[places]
    if is_time_of_day:
        clock, days = _over_midnight(clock)
        if days:
            notes.append("The clock passes midnight; the flight is read on.")
    jumps = _jumps(clock)
    if np.any(jumps):
        notes.append(f"{_samples(int(np.count_nonzero(jumps)))} with a time that jumps ahead left out.")
        clock, places = clock[~jumps], places[~jumps]
    cuts, said = _cuts(clock)
    if cuts.size:
        notes.append(f"The clock {said}; the file is read as {cuts.size + 1} recordings.")
    found = []
    for own in np.split(np.arange(clock.size), cuts):
        one = _in_order(clock[own], places[own], tuple(notes), where)
        if one is not None:
            found.append(one)
    if not found:
        raise InputError(
            Problem(where, "must have a time that rises; it stands still; map the column of the time")
        )
    return found


def _over_midnight(clock: Samples) -> tuple[Samples, int]:
    """A time of day read on past midnight: a fall of more than half a day is a new day."""
    falls = np.diff(clock) < -DAY_s / 2.0
    days = np.concatenate([[0], np.cumsum(falls)])
    return clock + DAY_s * days, int(days[-1])


def _jumps(clock: Samples) -> NDArray[np.bool_]:
    """Which samples have a time ahead of the next one, while that one goes on from near the one before."""
    jumps = np.zeros(clock.size, dtype=np.bool_)
    there, back = clock[1:-1] - clock[:-2], clock[1:-1] - clock[2:]
    is_far = (there > _JUMP_s) & (np.abs(there - back) < 0.5 * there)
    jumps[1:-1] = (back > 0.0) & ((back <= there) | is_far)
    if np.count_nonzero(jumps) > _few(clock):
        jumps[:] = False  # no odd samples: the clock itself is out of order, which is judged below
    return jumps


def _few(clock: Samples) -> float:
    return max(_MOST_ODD_SHARE * clock.size, _MOST_ODD)


def _cuts(clock: Samples) -> tuple[Places, str]:
    """Places where another recording begins, and what the clock does there."""
    leaps = np.flatnonzero(np.diff(clock) > LONGEST_RECORD_s) + 1
    ends = [0, *leaps.tolist(), clock.size]
    restarts = [low + cut for low, high in pairwise(ends) for cut in _restarts(clock[low:high])]
    settings = []
    for low, high in pairwise(sorted([*ends, *restarts])):
        settings += [low + cut for cut in _settings(clock[low:high])]
    done = {
        "starts again": restarts,
        "is set back": settings,
        "jumps ahead by days, as at a first fix,": leaps.tolist(),
    }
    said = " and ".join(words for words, places in done.items() if places)
    return np.array(sorted([*leaps.tolist(), *restarts, *settings]), dtype=np.intp), said


def _restarts(clock: Samples) -> list[int]:
    """Places where the clock starts again: it falls far back towards its begin and goes on from there."""
    cuts: list[int] = []
    falls = np.flatnonzero(np.diff(clock) < 0.0) + 1
    begin = 0
    for fall in falls.tolist():
        before = clock[fall - 1] - clock[begin]
        after = clock[fall] - clock[begin]
        goes_on = (
            clock.size - fall >= FEWEST_SAMPLES and clock[fall : fall + _LOOKED_AT].max() < clock[fall - 1]
        )
        if fall - begin >= 2 and after < _RESTART_SHARE * before and goes_on:
            cuts.append(fall)
            begin = fall
    return cuts


def _settings(clock: Samples) -> list[int]:
    """Places where a running clock is set back, by more samples than may be left out as odd."""
    falls = np.flatnonzero(np.diff(clock) < 0.0) + 1
    if falls.size > _MOST_SETTINGS:
        return []
    cuts = []
    for fall in falls.tolist():
        behind = int(np.count_nonzero(clock[fall:] < clock[fall - 1]))
        nearby = np.diff(clock[fall : fall + _LOOKED_AT])
        if behind > _few(clock) and nearby.size >= FEWEST_SAMPLES - 1 and np.all(nearby >= 0.0):
            cuts.append(fall)
    return cuts


def _in_order(clock: Samples, places: Places, notes: tuple[str, ...], where: str) -> Stretch | None:
    """One stretch with strictly rising times; None when it has no two times."""
    highest = np.maximum.accumulate(clock)
    ahead = clock >= highest
    behind = int(np.count_nonzero(~ahead))
    if behind > _few(clock):
        raise InputError(
            Problem(
                where,
                f"must have a clock that runs forwards; {_samples(behind)} of {clock.size} run backwards; "
                "sort the log by time or export it again",
            )
        )
    if behind:
        notes = (*notes, f"{_samples(behind)} with a clock that runs backwards left out.")
    clock, places = clock[ahead], places[ahead]
    if clock[-1] - clock[0] > LONGEST_RECORD_s:
        raise InputError(
            Problem(
                where,
                f"must last less than {LONGEST_RECORD_s / 3600:.0f} h; it lasts "
                f"{(clock[-1] - clock[0]) / 3600:.4g} h; check the unit of the time, or cut the file",
            )
        )
    if clock[-1] <= clock[0]:
        return None
    spread, repeated = _spread(clock)
    if repeated:
        notes = (*notes, f"{_samples(repeated)} with a repeated time spread evenly up to the next time.")
    begin = float(spread[0])
    since = np.maximum.accumulate(np.round(spread - begin, _DIGITS))
    keep = np.concatenate([[True], np.diff(since) > 0.0])  # steps that no clock has fall together
    since, places = since[keep], places[keep]
    return Stretch(places, begin, since, notes) if since.size >= 2 else None


def _spread(clock: Samples) -> tuple[Samples, int]:
    """Repeated times spread evenly over the way to the next time, and how many there were.

    A log with a coarse clock has several samples at each time. The first group may be the rest of a longer
    one and is laid against its end; a group before a gap takes no more than the usual time of its samples.
    """
    starts = np.flatnonzero(np.concatenate([[True], np.diff(clock) > 0.0]))
    counts = np.diff(np.append(starts, clock.size))
    if counts.max() == 1:
        return clock, 0
    ways = np.diff(clock[starts])
    usual = float(np.median(ways))
    usual_count = int(np.median(counts))
    longest = usual * np.maximum(counts / usual_count, 1.0)  # a clock that stood has more samples at one time
    ways = np.append(np.minimum(ways, longest[:-1]), usual)
    step = ways / counts
    step[-1] = min(step[-1], usual / max(usual_count, counts[-1]))
    group = np.repeat(np.arange(starts.size), counts)
    within = np.arange(clock.size) - starts[group]
    spread = clock[starts][group] + within * step[group]
    if counts[0] < usual_count:
        first = int(counts[0])
        own_step = ways[0] / usual_count
        spread[:first] = clock[0] + ways[0] - own_step * np.arange(first, 0, -1)
    return spread, int(clock.size - starts.size)


def counted(count: int, what: str) -> str:
    """A count with its noun in the right number.

    >>> counted(1, "sample"), counted(3, "fix")
    ('1 sample', '3 fixes')
    """
    if count == 1:
        return f"1 {what}"
    return f"{count} {what}{'es' if what.endswith('x') else 's'}"


def _samples(count: int) -> str:
    return counted(count, "sample")
