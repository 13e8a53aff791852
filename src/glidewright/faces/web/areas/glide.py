"""Glide: sink, glide ratio, speeds, stability and handling."""

from glidewright.faces.web.area import Area, Reply, Subject, Tell, Values


def answer(subject: Subject, values: Values, tell: Tell) -> Reply:
    """The report of the glide."""
    from glidewright.decisions import glide as job
    from glidewright.faces.report import glide as report

    del values
    tell(None, "trimming the model at every speed")
    return Reply(report.document(job.run(job.GlideRequest(model=subject.model, rule=subject.rule))))


AREA = Area(
    "glide", "Glide", "Sink, glide ratio, speeds to fly, stability and motions.", order=50, answer=answer
)
