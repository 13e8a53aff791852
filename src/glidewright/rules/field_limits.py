"""Field findings: the height ceiling over the ground, whatever the class counts."""

from glidewright.forecast.prediction import Prediction

from .against import against, not_stated
from .finding import Finding

AIRSPACE_CAUTION = (
    "the law on height differs by country, field and club: check the rules of your field on the day"
)


def judge_field(prediction: Prediction) -> list[Finding]:
    """The highest point of the launch against the ceiling of the field; also when none is stated."""
    field = prediction.model.field
    name, title, result = "height_ceiling", "Height ceiling over ground", "height_highest_m"
    if field.ceiling_m is None:
        what = "no height ceiling is stated for the field; ask the owner or the authority and add ceiling_m"
        return [not_stated(prediction, name, title, result, "m", what, kind="field", also=AIRSPACE_CAUTION)]
    finding = against(
        prediction,
        name,
        title,
        result,
        "m",
        at_most=field.ceiling_m.value,
        kind="field",
        also=f"highest point of the launch; lift afterwards is the pilot's to watch; {AIRSPACE_CAUTION}",
        source=field.ceiling_source,
    )
    return [finding]
