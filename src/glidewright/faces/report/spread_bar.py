"""The thin bar from low to high that stands beside a figure on a page."""

from glidewright.base.figure import Figure
from glidewright.base.units import unit

_WIDTH, _HEIGHT, _PAD = 120.0, 12.0, 3.0
_HALF_SPAN = 0.5
_ROOM = 0.08


def spread_bar(figure: Figure, limit: float | None = None) -> str:
    """A small SVG bar: low to high as a line, the median as a tick, a limit as a tall stroke.

    Without a limit the track is the median plus and minus half of it, so that equal lengths are equal
    shares; with one it is just wide enough for spread and limit. Empty when there is no spread.
    The numbers stand beside it, so a screen reader skips it.
    """
    if figure.value is None or figure.low is None or figure.high is None:
        return ""
    shown = unit(figure.shown)
    low, value, high = (shown.from_si(number) for number in (figure.low, figure.value, figure.high))
    if limit is None:
        if low == high or value == 0.0:
            return ""
        first, last = value - _HALF_SPAN * abs(value), value + _HALF_SPAN * abs(value)
    else:
        at = shown.from_si(limit)
        first, last = min(low, at), max(high, at)
        room = _ROOM * (last - first) or abs(at) * _ROOM or 1.0
        first, last = first - room, last + room

    def place(number: float) -> float:
        share = min(max((number - first) / (last - first), 0.0), 1.0)
        return _PAD + share * (_WIDTH - 2.0 * _PAD)

    middle = _HEIGHT / 2.0
    strokes = [
        f'<path d="M{_PAD:g} {middle:g}H{_WIDTH - _PAD:g}" stroke="var(--hair)"/>',
        f'<path d="M{place(low):.1f} {middle:g}H{place(high):.1f}" stroke="currentColor" stroke-width="3"/>',
        f'<path d="M{place(value):.1f} 2.5V{_HEIGHT - 2.5:g}" stroke="var(--ink)" stroke-width="2"/>',
    ]
    if limit is not None:
        x = place(shown.from_si(limit))
        strokes.append(
            f'<path d="M{x:.1f} 0V{_HEIGHT:g}" stroke="var(--warning)" stroke-width="1.5" '
            'stroke-dasharray="2 1.5"/>'
        )
    return (
        f'<svg class="bar" viewBox="0 0 {_WIDTH:g} {_HEIGHT:g}" aria-hidden="true" focusable="false">'
        + "".join(strokes)
        + "</svg>"
    )
