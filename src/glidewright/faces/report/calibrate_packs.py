"""Packs in the report of ``calibrate``."""

from glidewright.base.wording import sentence
from glidewright.decisions.calibrating.nouns import CalibrateResult, PackRow
from glidewright.faces.report.document import (
    Block,
    Cell,
    Column,
    Details,
    Note,
    Section,
    Table,
)


def packs_section(result: CalibrateResult) -> Section:
    """How each pack has aged, by its charges and by its launches."""
    blocks: list[Block] = []
    for pack in result.packs:
        blocks.append(_pack_rows(pack))
        blocks += [Note(sentence(caution), f"Pack {pack.pack}", "warning") for caution in pack.cautions]
        if pack.charges:
            blocks.append(Details(f"Charges of {pack.pack}", (_charge_table(pack),)))
    lead = "Charges are those of charges.toml; a pack is held against its own first charges."
    return Section("packs", "Packs", lead, tuple(blocks))


def _pack_rows(pack: PackRow) -> Table:
    heads = (
        Column("Pack", is_number=False),
        Column("Charges"),
        Column("Launches"),
        Column("Capacity, of first"),
        Column("Resistance, of first"),
        Column("In logs"),
    )
    row: tuple[Cell, ...] = (
        pack.pack,
        len(pack.charges),
        pack.launches,
        pack.capacity_share,
        pack.resistance_ratio,
        pack.log_resistance,
    )
    return Table(heads, (row,))


def _charge_table(pack: PackRow) -> Table:
    heads = (
        Column("Day", is_number=False),
        Column("Put back"),
        Column("Before"),
        Column("Resistance"),
        Column("Capacity"),
        Column("Note", is_number=False),
    )
    rows: list[tuple[Cell, ...]] = [
        (
            charge.date,
            charge.put_back,
            charge.resting_before,
            charge.resistance,
            charge.capacity,
            charge.note,
        )
        for charge in pack.charges
    ]
    return Table(heads, tuple(rows))
