"""Packs over their lives: charges put back, resting volts, resistance, and whether a pack fades."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from glidewright.base.figure import Figure, Given
from glidewright.base.wording import chance_text, exact_text, percent_text
from glidewright.calibration.pack_charges import ChargeReading, readings_of
from glidewright.data import coefficient
from glidewright.decisions.calibrating.nouns import ChargeRow, PackRow
from glidewright.domain.logbook import Flight, PackCharge
from glidewright.domain.model import Model
from glidewright.domain.parts import Pack
from glidewright.forecast.spread import from_field

Array = NDArray[np.float64]
_LAST_LAUNCHES = 5
_TOO_FEW = "needs at least one charge before the last ones"


def packs_answer(
    model: Model, charges: Sequence[PackCharge], flights: Sequence[Flight]
) -> tuple[PackRow, ...]:
    """Every pack of the drawer that was charged or flown, in the order of the drawer."""
    found = []
    for part in model.drawer:
        if not isinstance(part, Pack):
            continue
        own = [charge for charge in charges if charge.pack == part.id]
        flown = [flight for flight in flights if flight.set_up.pack == part.id]
        if own or any(flight.launches for flight in flown):
            found.append(_pack(part, own, flown))
    return tuple(found)


def _pack(part: Pack, charges: Sequence[PackCharge], flights: Sequence[Flight]) -> PackRow:
    readings = readings_of(part, charges)
    capacity = _ratio([one.capacity_As for one in readings])
    resistance = _ratio([one.resistance_ohm for one in readings])
    cautions = (*_worn(capacity), *_tired(resistance))
    has_trend = capacity is not None or resistance is not None
    return PackRow(
        pack=part.id,
        title=part.name,
        charges=tuple(map(_charge, readings)),
        launches=sum(len(flight.launches) for flight in flights),
        log_resistance=_log_resistance(flights),
        capacity_share=_share(capacity, "%"),
        resistance_ratio=_share(resistance, ""),
        cautions=cautions,
        tone="warning" if cautions else "good" if has_trend else "plain",
    )


def _charge(reading: ChargeReading) -> ChargeRow:
    charge = reading.charge
    because = "charge put back between the resting volts"
    capacity = Figure.unknown("A s", "mAh", "no charge put back with resting volts far enough from full")
    if reading.capacity_As is not None:
        capacity = Figure.of_draws(reading.capacity_As, "A s", "mAh", "measured", because)
    return ChargeRow(
        date=charge.date,
        put_back=_stated(charge, "put_back_As", charge.put_back_As, "A s", "mAh"),
        resting_before=_stated(charge, "resting_before_V", charge.resting_before_V, "V", "V"),
        resistance=_stated(charge, "resistance_ohm", charge.resistance_ohm, "ohm", "mΩ"),
        capacity=capacity,
        note=charge.note,
    )


def _stated(charge: PackCharge, field: str, given: Given | None, unit: str, shown: str) -> Figure:
    if given is None:
        return Figure.unknown(unit, shown, "not written down")
    entry = from_field(charge, field, field, "")
    return Figure(
        value=entry.value,
        low=entry.low,
        high=entry.high,
        unit=unit,
        shown=shown,
        grade=given.grade,
        because=entry.because,
    )


def _age(name: str) -> float:
    return coefficient("pack_age", name)


def _ratio(values: Sequence[Array | None]) -> Array | None:
    """Draws of the last readings over the first ones, medians of each; nothing without both."""
    known = [draws for draws in values if draws is not None]
    few = int(_age("first_charges"))
    first = known[: min(few, len(known) // 2)]
    last = known[-min(few, len(known) - len(first)) :] if len(known) > len(first) else []
    if not first or not last:
        return None
    found: Array = np.median(np.stack(last), axis=0) / np.median(np.stack(first), axis=0)
    return found


def _share(ratio: Array | None, shown: str) -> Figure:
    if ratio is None:
        return Figure.unknown("1", shown, _TOO_FEW)
    because = "medians of the last and of the first charges, with the errors of charger and meter"
    return Figure.of_draws(ratio, "1", shown, "measured", because)


def _worn(capacity: Array | None) -> tuple[str, ...]:
    if capacity is None:
        return ()
    limit = _age("capacity_share")
    chance = float(np.mean(capacity < limit))
    if chance < _age("chance_to_say"):
        return ()
    share = percent_text(float(np.median(capacity)))
    odds = f"chance {chance_text(chance)}"
    return (
        f"the capacity is down to {share} of that of the first charges; below {percent_text(limit)} a pack "
        f"counts as worn ({odds}): fewer launches, and a climb that falls off sooner",
    )


def _tired(resistance: Array | None) -> tuple[str, ...]:
    if resistance is None:
        return ()
    limit = _age("resistance_ratio")
    chance = float(np.mean(resistance > limit))
    if chance < _age("chance_to_say"):
        return ()
    times = f"{float(np.median(resistance)):.2f}"
    odds = f"chance {chance_text(chance)}"
    return (
        f"the resistance is {times} times that of the first charges; above {exact_text(limit, '')} times, "
        f"common practice, a pack counts as tired ({odds}): it sags, warms, and may swell; look at it before "
        "every charge",
    )


def _log_resistance(flights: Sequence[Flight]) -> Figure:
    """Median over the last launches that show it; temperature and charge of each are in its spread."""
    known = [
        launch.pack_resistance
        for flight in flights
        for launch in flight.launches
        if launch.pack_resistance.value is not None
    ][-_LAST_LAUNCHES:]
    if not known:
        return Figure.unknown("ohm", "mΩ", "no log shows volts and amps at motor start and stop")
    return Figure(
        value=float(np.median([figure.value for figure in known])),
        low=float(np.median([figure.low for figure in known])),
        high=float(np.median([figure.high for figure in known])),
        unit="ohm",
        shown="mΩ",
        grade="measured",
        because=f"median of the last {len(known)} launches; falls as a pack warms",
    )
