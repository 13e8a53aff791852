"""``glidewright read``: what a flight log tells, against the class and what was expected; the day so far."""

from pathlib import Path
from typing import Annotated

import typer

from glidewright.faces.cli.job import AsJson, HtmlFile, Job, ShowAll

_HELP = """Read a flight log and enter it into the logbook.

Finds launches, glides and lift, holds them against the class and against what was expected, and says what
the pack still gives that day. The log is copied into flights/ of the model folder and entered once. How a
table of columns is read is shown first and must be accepted once. Without FILE, --day shows a day from the
logbook. Leaves with 0 when every limit that the log shows is kept, with 1 when one is broken or doubtful,
with 2 when the log or the folder cannot be used."""

File = Annotated[
    Path | None, typer.Argument(metavar="[FILE]", help="The log as it came.", show_default=False)
]
OfModel = Annotated[
    Path, typer.Option("--model", metavar="MODEL", help="The model folder that flew.", show_default=False)
]
Day = Annotated[
    str,
    typer.Option(
        "--day", metavar="YYYY-MM-DD", help="Day of the flight, or the day to show.", show_default=False
    ),
]
Accept = Annotated[
    bool, typer.Option("--accept-channels", help="The columns are read as shown; keep that for such logs.")
]
Look = Annotated[bool, typer.Option("--look", help="Only look: enter nothing and keep nothing.")]
Forget = Annotated[
    bool, typer.Option("--forget", help="Take this log out of the logbook, and its copy out of flights/.")
]
Pack = Annotated[
    str, typer.Option("--pack", metavar="ID", help="The pack that flew, if another.", show_default=False)
]
Propeller = Annotated[
    str, typer.Option("--propeller", metavar="ID", help="The propeller, if another.", show_default=False)
]
Charged = Annotated[
    bool | None,
    typer.Option(
        "--charged/--not-charged",
        help="Whether the pack was charged before this log; else it was when the day is new.",
        show_default=False,
    ),
]
Temperature = Annotated[
    float | None,
    typer.Option("--temperature", metavar="CELSIUS", help="Of the air at the ground.", show_default=False),
]
Wind = Annotated[
    float | None,
    typer.Option("--wind", metavar="M/S", help="Mean head wind at the launch.", show_default=False),
]
Mass = Annotated[
    float | None,
    typer.Option("--mass", metavar="GRAM", help="Of the model as it flew, weighed.", show_default=False),
]
Landing = Annotated[
    float | None,
    typer.Option("--landing", metavar="METRES", help="Distance from the spot.", show_default=False),
]
Target = Annotated[
    float | None,
    typer.Option("--target", metavar="SECONDS", help="Target time of the task.", show_default=False),
]
Book = Annotated[
    str,
    typer.Option(
        "--logbook",
        metavar="FILE|URL",
        help="Another logbook than logbook.sqlite in the folder; a database server by its URL.",
        envvar="GLIDEWRIGHT_LOGBOOK",
        show_default=False,
    ),
]


def run(
    model: OfModel,
    file: File = None,
    day: Day = "",
    accept_channels: Accept = False,
    look: Look = False,
    forget: Forget = False,
    pack: Pack = "",
    propeller: Propeller = "",
    charged: Charged = None,
    temperature: Temperature = None,
    wind: Wind = None,
    mass: Mass = None,
    landing: Landing = None,
    target: Target = None,
    logbook: Book = "",
    show_all: ShowAll = False,
    html: HtmlFile = None,
    as_json: AsJson = False,
) -> None:
    """Read the log, answer, and enter it; or show a day of the logbook."""
    # heavy rooms are read here and not at the top, so that the command table stays quick
    from glidewright.faces.cli.finish import finish
    from glidewright.faces.cli.reading import Pilot, told_by
    from glidewright.faces.report.read import document

    pilot = Pilot(
        day=day,
        pack=pack,
        propeller=propeller,
        is_charged=charged,
        temperature_C=temperature,
        wind_m_s=wind,
        mass_g=mass,
        landing_m=landing,
        target_time_s=target,
    )
    result = told_by(
        model,
        file,
        pilot,
        logbook,
        accept=accept_channels,
        look=look,
        forget=forget,
        may_ask=not as_json,
    )
    finish(
        "read",
        result.model,
        result,
        lambda: document(result),
        as_json=as_json,
        show_all=show_all,
        html=html,
        findings=result.findings,
    )


JOB = Job(
    "read",
    _HELP,
    run,
    order=70,
    example="glidewright read evening.csv --model Lark --landing 2.5",
    answers="decisions.reading.nouns:ReadResult",
)
"""The command."""
