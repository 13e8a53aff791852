"""Calibrate: bench readings, charges and flights teach; what was learned is kept in the folder."""

from datetime import date

from glidewright.faces.web.area import Area, Reply, Subject, Tell, Values


def answer(subject: Subject, values: Values, tell: Tell) -> Reply:
    """Learn, keep it, and report what changed."""
    from glidewright.decisions import calibrate as job
    from glidewright.domain.parts import Pack
    from glidewright.faces.report import calibrate as report
    from glidewright.store.charges import read_charges
    from glidewright.store.corrections import CORRECTIONS_FILE, write_learned
    from glidewright.store.logbook import Logbook, logbook_url

    del values
    tell(None, "holding every flight against what was expected")
    model, folder = subject.model, subject.folder
    charges = read_charges(folder, [part.id for part in model.drawer if isinstance(part, Pack)])
    with Logbook(logbook_url(folder)) as book:
        book.keep_charges(model.name, charges)
        flights = book.flights(model.name)
    day = date.today().isoformat()
    found = job.run(
        job.CalibrateRequest(model=model, rule=subject.rule, flights=flights, charges=charges, day=day)
    )
    written = "nothing to keep: bench readings teach from model.toml at every start"
    if found.learned is not None:
        write_learned(folder, found.learned)
        written = f"written to {CORRECTIONS_FILE} in the model folder; every page takes it from now on"
    return Reply(report.document(found.result.model_copy(update={"written": written})))


AREA = Area(
    "calibrate",
    "Calibrate",
    "Bench readings, charges and flights correct drag, propeller, motor and pack.",
    group="Fly",
    order=240,
    answer=answer,
    is_long=True,
    start_word="Calibrate",
    writes=True,
)
