from collections.abc import Callable

from glidewright.base.figure import Given
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.field import Field
from glidewright.domain.parts import Motor
from glidewright.forecast.prediction import Prediction
from glidewright.rules.field_limits import AIRSPACE_CAUTION, judge_field
from glidewright.rules.remarks import remark_on

Predict = Callable[..., Prediction]


def test_the_ceiling_is_judged_by_the_highest_point_not_by_the_counted_one(predict: Predict) -> None:
    field = Field(ceiling_m=Given(value=120.0), ceiling_source="site permit")
    found = judge_field(predict(field=field, height_highest_m=[119.0, 125.0], height_counted_m=90.0))
    assert len(found) == 1
    assert (found[0].chance, found[0].kind, found[0].source) == (0.5, "field", "site permit")
    assert AIRSPACE_CAUTION in found[0].because


def test_without_a_ceiling_the_finding_asks_for_it(predict: Predict) -> None:
    (found,) = judge_field(predict(height_highest_m=130.0))
    assert (found.kept, found.severity) == (None, "unknown")
    assert "130 m" in found.because
    assert "ceiling_m" in found.because


def test_numbers_outside_the_usual_get_a_remark_in_their_own_unit(predict: Predict) -> None:
    odd = Motor(id="odd", kv_rad_per_Vs=Given(value=10.0))
    usual = Motor(id="plain", kv_rad_per_Vs=Given(value=107.0))
    remarks = remark_on(predict(odd, odd, usual).model, None)
    assert [remark.where for remark in remarks] == ["part odd: kv_rpm_per_V"]
    assert remarks[0].message.startswith("95.493 rpm/V is outside the usual 300 to 5000 rpm/V")


def test_a_number_on_the_edge_of_the_usual_gets_none(predict: Predict) -> None:
    field = Field(temperature_K=Given(value=38 + 273.15))
    assert remark_on(predict(field=field).model, None) == []


def test_the_open_points_of_a_class_are_remarks(predict: Predict) -> None:
    rule = ClassLimits(id="x", title="X", open_points=("target time not stated",))
    (remark,) = remark_on(predict().model, rule)
    assert (remark.where, remark.message) == ("class x", "target time not stated")
