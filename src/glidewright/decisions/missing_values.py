"""What nobody stated, what stands in for it, and which readings would narrow the answers most."""

from collections.abc import Iterable

from glidewright.base.wording import percent_text
from glidewright.decisions.nouns import Missing
from glidewright.forecast.missing import MissingValue
from glidewright.forecast.predict import Forecast

# The answers that a flyer decides by; a reading is worth as much as it explains of their spread.
POWER_ANSWERS = ("launch_motor_current_A", "static_thrust_N", "static_revs_per_s", "motor_temperature_K")
LAUNCH_ANSWERS = ("height_counted_m", "mean_climb_m_s", "launches")
CHECK_ANSWERS = (*LAUNCH_ANSWERS, "cg_x_m", "launch_motor_current_A", "motor_temperature_K")
TOLD = 4
WORTH_TELLING = 0.02


def missing_values(missing: Iterable[MissingValue]) -> tuple[Missing, ...]:
    """Every missing value with its stand-in."""
    return tuple(
        Missing(
            part=value.part,
            value=value.title,
            key=value.key,
            stand_in=value.figure(),
            because=value.stand_in.because if value.stand_in else "nothing stands in for it",
            narrows=value.narrows,
        )
        for value in missing
    )


def measure_next(found: Forecast, answers: tuple[str, ...] = CHECK_ANSWERS) -> tuple[str, ...]:
    """Readings by the share of the spread of the main answers that they would explain, the best first.

    One reading may narrow several inputs; its worth is the sum of their shares, averaged over the answers.
    """
    worth: dict[str, float] = {}
    known = [draws for name in answers if (draws := found.prediction.draws(name)) is not None]
    for draws in known:
        for cause in found.causes.of(draws):
            if cause.entry.narrows:
                worth[cause.entry.narrows] = worth.get(cause.entry.narrows, 0.0) + cause.share / len(known)
    ranked = sorted(worth.items(), key=lambda pair: (-pair[1], pair[0]))
    return tuple(
        f"{reading} ({percent_text(share)} of the spread)"
        for reading, share in ranked[:TOLD]
        if share >= WORTH_TELLING
    )
