"""Launch: height against time that follows the sliders, and the report of what is set."""

from typing import Any

from glidewright.faces.web.area import Area, Reply, Subject, Tell, Values
from glidewright.faces.web.trying import air_inputs, outcome, panel, part_inputs, trial_of


def answer(subject: Subject, values: Values, tell: Tell) -> Reply:
    """The report of the launches as they are set."""
    from glidewright.decisions import launch as job
    from glidewright.decisions.try_out import tried_model
    from glidewright.faces.report import launch as report

    tell(None, "flying all launches of one charge over the spreads")
    model = tried_model(trial_of(subject, values))
    return Reply(report.document(job.run(job.LaunchRequest(model=model, rule=subject.rule))))


def live(subject: Subject, values: Values) -> dict[str, Any]:
    """Lines and figures while a slider moves."""
    from glidewright.decisions.try_out import try_launch
    from glidewright.faces.report.try_out import live_lines

    trial = try_launch(trial_of(subject, values))
    return {"panels": live_lines(trial.times_s, trial.trace, "s"), "outcome": outcome(_figures(trial))}


def scene(subject: Subject, values: Values) -> dict[str, Any]:
    """The chart with axes for what is set."""
    from glidewright.decisions.try_out import try_launch
    from glidewright.faces.report.try_out import launch_chart

    trial = try_launch(trial_of(subject, values))
    return panel(subject, launch_chart(trial), _figures(trial))


def _figures(trial: Any) -> list[tuple[str, str, Any]]:
    return [(named.name, named.title, named.figure) for named in trial.figures]


AREA = Area(
    "launch",
    "Launch",
    "One launch with its spread, and all launches of one charge; move a slider and see it change.",
    order=40,
    answer=answer,
    inputs=(*part_inputs(), *air_inputs(with_wind=True)),
    panel="panel_try.html",
    scene=scene,
    live=live,
)
