"""``glidewright calibrate``: let bench readings, charges and flights teach, and say what that changes."""

from glidewright.faces.cli.commands.read import Book
from glidewright.faces.cli.job import AsJson, HtmlFile, Job, ModelFolder, ShowAll

_HELP = """Learn from bench readings, charges and logged flights.

Corrects drag, propeller, motor and pack by everything that was measured, with the spreads of the folder as
a start; says before and after, what was learned, what is still unknown, and which reading would narrow it
most. Every flight is predicted from those before it, and the miss is shown. What was learned goes into
corrections.toml, which every command then takes. Leaves with 0, with 2 when there is nothing to learn from
or the folder cannot be used."""


def run(
    model: ModelFolder,
    logbook: Book = "",
    show_all: ShowAll = False,
    html: HtmlFile = None,
    as_json: AsJson = False,
) -> None:
    """Read folder, charges and logbook, learn, keep it, and show what changed."""
    # heavy rooms are read here and not at the top, so that the command table stays quick
    from datetime import date

    from glidewright.decisions import calibrate as job
    from glidewright.domain.parts import Pack
    from glidewright.faces.cli.finish import finish
    from glidewright.faces.cli.first_run import say_first_run
    from glidewright.faces.cli.model_and_class import model_and_class
    from glidewright.faces.report.calibrate import document
    from glidewright.store.charges import read_charges
    from glidewright.store.corrections import CORRECTIONS_FILE, write_learned
    from glidewright.store.logbook import Logbook, logbook_url

    own, rule = model_and_class(model)
    charges = read_charges(model, [part.id for part in own.drawer if isinstance(part, Pack)])
    say_first_run()
    with Logbook(logbook_url(model, logbook)) as book:
        book.keep_charges(own.name, charges)
        flights = book.flights(own.name)
    found = job.run(
        job.CalibrateRequest(
            model=own, rule=rule, flights=flights, charges=charges, day=date.today().isoformat()
        )
    )
    written = "nothing to keep: bench readings teach from model.toml at every start"
    if found.learned is not None:
        write_learned(model, found.learned)
        written = f"written to {CORRECTIONS_FILE} in the model folder; every command takes it from now on"
    result = found.result.model_copy(update={"written": written})
    finish(
        "calibrate",
        result.model,
        result,
        lambda: document(result),
        as_json=as_json,
        show_all=show_all,
        html=html,
    )


JOB = Job(
    "calibrate",
    _HELP,
    run,
    order=72,
    example="glidewright calibrate Lark",
    answers="decisions.calibrating.nouns:CalibrateResult",
)
"""The command."""
