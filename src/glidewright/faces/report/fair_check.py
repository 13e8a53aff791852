"""What a check by another logger can tell, as ``fair`` reports it."""

from glidewright.base.wording import exact_text, number_text, percent_text, sentence
from glidewright.decisions.fairness.nouns import FairResult, HeightCheck
from glidewright.faces.report.document import Block, Cell, Column, Details, Section, Table


def check_section(result: FairResult) -> Section | None:
    """Allowances over the height limit by option, wrong verdicts by allowance, windows of a climb limit."""
    blocks: list[Block] = []
    checked = [(one.name, one.check) for one in result.options if one.check is not None]
    rate = percent_text(result.wrong)
    if checked:
        blocks.append(_heights(checked, rate))
        blocks += [
            Details(f"Wrong verdicts by allowance: {name}", (_verdicts(check, rate),))
            for name, check in checked
        ]
    if result.climb_checks and result.climb_check_m_s is not None:
        blocks.append(_climbs(result, result.climb_check_m_s, rate))
    if not blocks:
        return None
    lead = (
        "The motor is stopped by the model's own limiter and the launch is read by another logger. All "
        "devices read a warm day low alike: fair within a group, and no answer to a true height limit."
    )
    if checked and checked[0][1].stop_keeps:
        lead += (
            " As the class has it, a stop by a limiter that is set right keeps the limit whatever is read "
            "afterwards; the allowance is for a check by height alone."
        )
    return Section("check", "What a check can tell", lead, tuple(blocks))


def _heights(checked: list[tuple[str, HeightCheck]], rate: str) -> Table:
    """Allowances over the height limit, an option a line."""
    columns = (
        Column("Option", is_number=False),
        Column("Limit", "m"),
        Column("Allowance", "m"),
        Column("Found from", "m"),
        Column("Margin as it is", "m"),
        Column("True when cold", "m"),
        Column("True when warm", "m"),
    )
    rows: list[tuple[Cell, ...]] = []
    for name, check in checked:
        own = next((row for row in check.rows if row.allowance_m == check.allowance.value), None)
        rows.append(
            (
                name,
                check.limit_m,
                check.allowance,
                None if own is None else own.excess_found,
                check.legal_over,
                check.true_cold.value,
                check.true_warm.value,
            )
        )
    return Table(columns, tuple(rows), note=_note(rate, checked[0][1].counted))


def _climbs(result: FairResult, limit_m_s: float, rate: str) -> Table:
    """Allowances over a climb limit, a window a line."""
    heads = (
        Column("Window", "s"),
        Column("Allowance", "m/s"),
        Column("One window, no steps", "m/s"),
    )
    climbs: list[tuple[Cell, ...]] = [
        (check.window_s, check.allowance, check.single_window) for check in result.climb_checks
    ]
    title = f"A climb limit of {exact_text(limit_m_s, 'm/s')}, read from a log"
    note = (
        f"Allowance that leaves a steady legal climb found over in {rate} of the checks: the steepest "
        "window of the whole run, in whole steps of height. A limit without a stated window cannot be "
        "checked."
    )
    return Table(heads, tuple(climbs), title, note)


def _note(rate: str, counted: str) -> str:
    return (
        f"Counted: {counted}. Allowance: over the limit, so that at most {rate} of the legal launches "
        "are found over. Found from: a limiter set so much too high is found in all but that share. Margin "
        "as it is: how far the logger may read high before a legal launch is over limit and tolerance; one "
        "that reads low hides as much. True: "
        "height over ground of the stop on the coldest and the warmest day; a legal ceiling goes by that."
    )


def _verdicts(check: HeightCheck, rate: str) -> Table:
    rows: list[tuple[Cell, ...]] = [
        (row.allowance_m, row.legal_found_over, row.excess_found) for row in check.rows
    ]
    columns = (
        Column("Allowance", "m"),
        Column("Legal found over", "%"),
        Column("Too high found from", "m"),
    )
    note = f"Least allowance for {rate}: {number_text(check.allowance)}; "
    note += f"{number_text(check.allowance_of_device)} if every limiter stopped exactly. "
    note += sentence(check.because)
    return Table(columns, tuple(rows), note=note)
