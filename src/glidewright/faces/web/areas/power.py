"""Power: operating points that follow the sliders, and the report of what is set."""

from typing import Any

from glidewright.faces.web.area import Area, Reply, Subject, Tell, Values
from glidewright.faces.web.trying import air_inputs, outcome, panel, part_inputs, trial_of


def answer(subject: Subject, values: Values, tell: Tell) -> Reply:
    """The report of the power train as it is set."""
    from glidewright.decisions import power as job
    from glidewright.decisions.try_out import tried_model
    from glidewright.faces.report import power as report

    tell(None, "finding operating points over the spreads")
    model = tried_model(trial_of(subject, values))
    return Reply(report.document(job.run(job.PowerRequest(model=model, rule=subject.rule))))


def live(subject: Subject, values: Values) -> dict[str, Any]:
    """Lines and figures while a slider moves."""
    from glidewright.decisions.try_out import try_power
    from glidewright.faces.report.try_out import live_lines

    trial = try_power(trial_of(subject, values))
    return {
        "panels": live_lines(trial.airspeeds_m_s, trial.over_airspeed, "m/s"),
        "outcome": outcome(_figures(trial)),
    }


def scene(subject: Subject, values: Values) -> dict[str, Any]:
    """The chart with axes for what is set."""
    from glidewright.decisions.try_out import try_power
    from glidewright.faces.report.try_out import power_chart

    trial = try_power(trial_of(subject, values))
    return panel(subject, power_chart(trial), _figures(trial))


def _figures(trial: Any) -> list[tuple[str, str, Any]]:
    from glidewright.faces.report.try_out import power_figures

    return [
        (f"{named.name}-{place.replace(' ', '-')}", f"{named.title} {place}", named.figure)
        for place, named in power_figures(trial)
    ]


AREA = Area(
    "power",
    "Power",
    "Thrust, current and speed of the propeller; move a slider and see them change.",
    order=30,
    answer=answer,
    inputs=(*part_inputs(), *air_inputs(with_wind=False)),
    panel="panel_try.html",
    scene=scene,
    live=live,
)
