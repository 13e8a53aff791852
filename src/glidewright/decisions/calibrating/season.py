"""The season in a few lines: days, flights, launches, time, heights, lift."""

from collections import Counter
from collections.abc import Sequence

import numpy as np

from glidewright.base.wording import plain_text
from glidewright.decisions.calibrating.nouns import SeasonRow
from glidewright.domain.logbook import Flight


def season_answer(flights: Sequence[Flight]) -> tuple[SeasonRow, ...]:
    """Lines that can be told from the logbook; none when it is empty."""
    if not flights:
        return ()
    launches = [launch for flight in flights for launch in flight.launches]
    days = sorted({flight.date for flight in flights if flight.date})
    rows = [SeasonRow(title="Days", value=_days(days))]
    rows.append(SeasonRow(title="Launches", value=f"{len(launches)} in {len(flights)} logged flights"))
    times = [figure.value for flight in flights for figure in flight.flight_times if figure.value is not None]
    if times:
        longest = plain_text(max(times), "min")
        rows.append(
            SeasonRow(
                title="Time in the air", value=f"{plain_text(sum(times), 'min')}; longest flight {longest}"
            )
        )
    heights = [one.counted_height.value for one in launches if one.counted_height.value is not None]
    if heights:
        middle, best = (plain_text(float(number), "m") for number in (np.median(heights), max(heights)))
        rows.append(SeasonRow(title="Launch height", value=f"median {middle}, highest {best}, as indicated"))
    runs = [one.motor_run.value for one in launches if one.motor_run.value is not None]
    if runs:
        rows.append(SeasonRow(title="Motor time", value=plain_text(sum(runs), "min")))
    charges = [one.charge.value for one in launches if one.charge.value is not None]
    if charges:
        rows.append(
            SeasonRow(
                title="Charge of a launch", value=f"median {plain_text(float(np.median(charges)), 'mAh')}"
            )
        )
    packs = Counter(flight.set_up.pack for flight in flights for _ in flight.launches if flight.set_up.pack)
    if packs:
        words = ", ".join(f"{pack} {count}" for pack, count in packs.most_common())
        rows.append(SeasonRow(title="Launches by pack", value=words))
    restarts = sum(launch.is_restart for launch in launches)
    if restarts:
        rows.append(SeasonRow(title="Motor run again in the air", value=str(restarts)))
    return tuple(rows)


def _days(days: Sequence[str]) -> str:
    if not days:
        return "no log states its day"
    return f"{len(days)}, from {days[0]} to {days[-1]}" if len(days) > 1 else days[0]
