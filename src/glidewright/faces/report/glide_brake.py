"""The section of ``glide`` on the open brake."""

from glidewright.base.wording import number_text, plain_text, sentence
from glidewright.decisions.gliding.nouns import GlideResult
from glidewright.faces.report.document import Cell, Column, Details, Note, Row, Rows, Section, Steps, Table


def brake_section(result: GlideResult) -> Section:
    """Closed, half open and full at the approach speed; or why it is not known."""
    brake = result.brake
    if brake is None:
        words = f"The glide with open brake is not known: {result.why_no_brake}."
        return Section("brake", "Brake", "", (Note(words),))
    heads = (
        Column("Brake", is_number=False),
        Column("Opening", "°"),
        Column("Sink", "m/s"),
        Column("Glide ratio"),
        Column("Stall", "m/s"),
    )
    rows: list[tuple[Cell, ...]] = [
        (row.title, plain_text(row.opening_rad, "°", False), row.sink, row.glide_ratio, row.stall_speed)
        for row in brake.rows
    ]
    full, span, chord = brake.rows[-1], brake.blade_span_m, brake.blade_chord_m
    lead = (
        f"At {plain_text(brake.airspeed_m_s, 'm/s')}, {brake.over_stall:g} times the stall with the brake "
        f"full; blades of {plain_text(span, 'mm')} by {plain_text(chord, 'mm')} on both wings together. Full "
        f"brake: glide ratio {number_text(full.glide_ratio)}, it stalls at {number_text(full.stall_speed)}."
    )
    causes = [
        Row(f"{row.title}: {title}", figure)
        for row in brake.rows
        for title, figure in (("drag coefficient", row.drag), ("lift lost", row.lift_lost))
        if row.opening_rad or title == "drag coefficient"
    ]
    causes += [Row("full: sink", full.sink), Row("full: glide ratio", full.glide_ratio)]
    behind = Rows(tuple(causes), "Coefficients on the wing area")
    notes = Steps.of([sentence(words) for words in brake.notes], is_ordered=False)
    return Section(
        "brake", "Brake", lead, (Table(heads, tuple(rows)), Details("Behind the brake", (behind, notes)))
    )
