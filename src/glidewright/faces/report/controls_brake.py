"""The brake in the report of ``controls``."""

from glidewright.base.figure import Figure
from glidewright.base.units import unit
from glidewright.base.wording import (
    NOT_KNOWN,
    digits,
    exact_text,
    median_text,
    number_text,
    percent_text,
    sentence,
    with_symbol,
)
from glidewright.decisions.steering.nouns import BrakeUse, ControlsResult
from glidewright.faces.report.controls_linkages import short
from glidewright.faces.report.document import (
    Axis,
    Block,
    Cell,
    Column,
    Line,
    LineChart,
    Note,
    Panel,
    Section,
    Steps,
    Table,
)


def brake_section(result: ControlsResult) -> Section:
    """What the brake does by its opening, the elevator that goes with it, and what a mistake costs."""
    brake = result.brake
    if brake is None:
        return Section("brake", "Brake", "", (Note(sentence(result.why_no_brake), tone="warning"),))
    lead = (
        f"At {short(brake.approach_speed)}, 1.3 times the stall with full brake, "
        f"{number_text(brake.stall_open)} (closed {median_text(brake.stall_closed)}). Elevator against the "
        "brake closed, up is minus."
    )
    blocks: tuple[Block, ...] = (
        _steps(brake),
        _compensation_chart(brake),
        _mistakes(brake),
        Steps.of(brake.test, "The test that sets it"),
    )
    return Section("brake", "Brake", lead, blocks)


def _steps(brake: BrakeUse) -> Table:
    has_travel = brake.steps[-1].travel.value is not None
    rows: list[tuple[Cell, ...]] = [
        (
            percent_text(step.share),
            short(step.opening),
            _signed(step.travel if has_travel else step.edge, "%" if has_travel else "mm"),
            way_text(step.edge),
            step.ratio,
            short(step.sink),
            short(step.reach),
        )
        for step in brake.steps
    ]
    heads = (
        Column("Brake"),
        Column("Blade"),
        Column("Elevator, % of travel" if has_travel else "Elevator, mm"),
        Column("At its edge"),
        Column("Glide ratio"),
        Column("Sink"),
        Column("From 10 m"),
    )
    return Table(heads, tuple(rows))


def _mistakes(brake: BrakeUse) -> Table:
    costs: list[tuple[Cell, ...]] = [(one.title, one.height, one.fastest) for one in brake.mistakes]
    columns = (Column("Mistake", is_number=False), Column("Height", "m"), Column("Fastest", "m/s"))
    alone = (
        f"Left alone with full brake it settles at {number_text(brake.left_alone)}. Keep "
        f"{exact_text(brake.test_height_m, 'm')} for the test."
    )
    return Table(columns, tuple(costs), "What a mistake costs", alone)


def _signed(figure: Figure, shown: str) -> str:
    """A signed figure with its range in a shown unit, without its symbol, whole per cents."""
    if figure.value is None:
        return NOT_KNOWN
    symbol = unit(shown)
    numbers = [symbol.from_si(n if n is not None else 0.0) for n in (figure.value, figure.low, figure.high)]
    decimals = 0 if shown == "%" else 1
    value, low, high = (digits(number, decimals) for number in numbers)
    return value if low == high else f"{value} ({low} to {high})"


def _compensation_chart(brake: BrakeUse) -> LineChart:
    """Elevator against brake."""
    curve = brake.curve
    full, half = brake.steps[-1], brake.steps[2]
    shown = full.compensation if full.travel.value is None else full.travel
    at_half = half.compensation if half.travel.value is None else half.travel
    words = f"Elevator {way_text(at_half)} at half brake and {way_text(shown)} at full brake, as a start."
    line = Line.of(curve.title, brake.curve_shares, curve.value, curve.low, curve.high)
    return LineChart(
        "compensation",
        "Elevator that goes with the brake",
        words,
        Axis("Brake", "%"),
        (Panel(Axis(curve.title, curve.shown), (line,)),),
        None,
    )


def way_text(figure: Figure) -> str:
    """An elevator deflection, down positive, with its way in words.

    >>> travel = {"low": -0.2, "high": 0.0, "unit": "1", "shown": "%", "grade": "typical", "because": ""}
    >>> way_text(Figure(value=-0.12, **travel))
    '12 % up'
    """
    if figure.value is None:
        return NOT_KNOWN
    size = abs(figure.value)
    number = digits(unit(figure.shown).from_si(size), 0 if figure.shown == "%" else 1)
    if float(number) == 0.0:
        return "at rest"
    return f"{with_symbol(number, figure.shown)} {'up' if figure.value < 0.0 else 'down'}"
