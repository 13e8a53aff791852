"""Pictures of a comparison: differences in per cent with their spread, and sink over airspeed."""

from collections.abc import Iterator

from glidewright.base.wording import number_text, sentence
from glidewright.decisions.comparing.nouns import CompareResult, Line
from glidewright.faces.report.compare_tables import SURE_ENOUGH, better_text
from glidewright.faces.report.document import Axis, Bar, BarChart, BarMark, LineChart, Panel
from glidewright.faces.report.document import Line as Curve

# of these a share says little: the first one may be next to nothing
_NO_SHARES = ("least_ballast_kg", "cost_to_buy", "chance_balanced")


def share_charts(result: CompareResult) -> Iterator[BarChart]:
    """For every other model: by how much of the first one's figure it differs."""
    first = result.models[0]
    for number, model in enumerate(result.models[1:]):
        lines = [line for line in result.lines if _is_shown(line, number)]
        if lines:
            largest = max(lines, key=lambda line: abs(line.differences[number].share.value or 0.0))
            share = number_text(largest.differences[number].share)
            words = f"{model.letter} differs most from {first.letter} in {largest.title.lower()}, by {share}"
            yield BarChart(
                f"shares-{model.letter.lower()}",
                f"{model.letter} against {first.letter}",
                sentence(words),
                Axis(f"{model.letter} less {first.letter}", "%"),
                tuple(_bar(line, number, model.letter) for line in lines),
                None,
            )


def _is_shown(line: Line, number: int) -> bool:
    if line.wanted == "neither" or line.name in _NO_SHARES or not line.differences:
        return False
    share = line.differences[number].share
    return share.value is not None and not share.low == share.high == 0.0


def _bar(line: Line, number: int, letter: str) -> Bar:
    own = line.differences[number]
    is_sure = own.sure is not None and own.sure >= SURE_ENOUGH
    mark: BarMark = "beyond" if not is_sure else "last" if own.better == letter else "warning"
    return Bar(line.title, own.share, mark, better_text(line, number))


def sink_chart(result: CompareResult) -> LineChart | None:
    """Median sink of every model over airspeed."""
    known = [one for one in result.models if one.sink is not None and len(one.airspeeds_m_s) > 1]
    if len(known) < 2:
        return None
    curves = tuple(
        Curve.of(one.letter, one.airspeeds_m_s, one.sink.value) for one in known if one.sink is not None
    )
    figures = next(line.figures for line in result.lines if line.name == "sink_least_m_s")
    each = (f"{one.letter} {number_text(figure)}" for one, figure in zip(result.models, figures, strict=True))
    least = ", ".join(each)
    return LineChart(
        "sinks",
        "Sink over airspeed",
        f"Medians; least sink: {least}.",
        Axis("Airspeed", "m/s"),
        (Panel(Axis("Sink", "m/s"), curves),),
        None,
    )
