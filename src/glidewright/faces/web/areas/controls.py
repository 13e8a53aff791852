"""Controls: linkages, servos, throws, mixes, the brake, and checks of the build."""

from glidewright.faces.web.area import Area, Reply, Subject, Tell, Values


def answer(subject: Subject, values: Values, tell: Tell) -> Reply:
    """The report of the controls."""
    from glidewright.decisions import controls as job
    from glidewright.faces.report import controls as report

    del values
    tell(None, "moving every surface through its travel")
    return Reply(report.document(job.run(job.ControlsRequest(model=subject.model, rule=subject.rule))))


AREA = Area(
    "controls",
    "Controls",
    "Linkages, servos, throws, the brake, and what a building fault asks for.",
    order=60,
    answer=answer,
)
