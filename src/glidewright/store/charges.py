"""``charges.toml`` of a model folder: what charger and voltmeter showed, one ``[[charge]]`` a charge."""

from collections.abc import Collection
from pathlib import Path

from glidewright.base.errors import InputError, nearest
from glidewright.domain.logbook import PackCharge

from .tables import Problems, check_schema, grade_of, parsed, read_graded, tables_named, unknown_tables
from .texts import read_text

CHARGES_FILE = "charges.toml"
SCHEMA = 1


def read_charges(folder: Path, packs: Collection[str]) -> tuple[PackCharge, ...]:
    """The charges in order of their days; none where the folder has no such file.

    packs: ids of the packs of the drawer. Raises InputError with every problem of the file.
    """
    path = folder / CHARGES_FILE
    if not path.exists():
        return ()
    head = parsed(read_text(path, CHARGES_FILE), CHARGES_FILE)
    problems = Problems()
    check_schema(head, SCHEMA, CHARGES_FILE, problems)
    unknown_tables(head, ["schema", "grade", PackCharge.table], CHARGES_FILE, problems)
    grade = grade_of(head, CHARGES_FILE, "measured", problems)
    found = []
    for number, raw in enumerate(tables_named(head, PackCharge.table, CHARGES_FILE, problems), start=1):
        where = f"{CHARGES_FILE} [[{PackCharge.table}]] {number}"
        charge = read_graded(PackCharge, raw, where, grade, problems)
        if charge is None:
            continue
        if charge.pack not in packs:
            known = nearest(charge.pack, list(packs)) if packs else "the drawer has none"
            problems.say(
                f"{where}: pack", f"must be the id of a pack in parts/; {charge.pack!r} came; {known}"
            )
        found.append(charge)
    if problems:
        raise InputError(problems)
    return tuple(sorted(found, key=lambda charge: charge.date))
