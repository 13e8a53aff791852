import pytest
from hypothesis import given
from hypothesis import strategies as st

from glidewright.base.figure import Figure
from glidewright.base.units import BY_SYMBOL, unit
from glidewright.base.wording import chance_text, number_text, plain_text, spread_digits


def figure(value: float, low: float, high: float, shown: str) -> Figure:
    u = unit(shown)
    return Figure(
        value=u.to_si(value), low=u.to_si(low), high=u.to_si(high),
        unit=u.si, shown=shown, grade="typical", because="",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("made", "reads"),
    [
        (figure(118.27, 104.4, 131.2, "m"), "118 (104 to 131) m"),
        (figure(3.84, 3.21, 4.52, "m/s"), "3.8 (3.2 to 4.5) m/s"),
        (figure(7.104, 6.93, 7.288, "V"), "7.10 (6.93 to 7.29) V"),
        (figure(121.3, 79.2, 126.4, "m"), "121 (79 to 126) m"),
        (figure(5967.0, 5600.0, 6300.0, "rpm"), "5970 (5600 to 6300) rpm"),
        (figure(48.2, 41.3, 60.1, "°C"), "48 (41 to 60) °C"),
        (figure(5.0, 4.0, 6.0, ""), "5 (4 to 6)"),
        (figure(2.0, 2.0, 2.0, "m"), "2 m"),
        (figure(0.3, -0.52, 1.13, "mm"), "0.3 (-0.5 to 1.1) mm"),
        (figure(19.9, 19.9, 19.9, "money"), "19.90"),
    ],
)
def test_digits_follow_the_spread(made: Figure, reads: str) -> None:
    assert number_text(made) == reads


@given(
    shown=st.sampled_from(sorted(BY_SYMBOL)),
    middle=st.floats(-1e5, 1e5),
    below=st.floats(0.01, 1e4),
    above=st.floats(0.01, 1e4),
)
def test_rounding_never_hides_more_than_a_tenth_of_the_spread(
    shown: str, middle: float, below: float, above: float
) -> None:
    made = figure(middle, middle - below, middle + above, shown)
    texts = spread_digits(made)
    assert texts is not None
    width = below + above
    step_of_unit = 10.0 ** -(unit(shown).decimals + 2)
    for text, number in zip(texts, (middle, middle - below, middle + above), strict=True):
        assert abs(float(text) - number) <= max(width / 10.0, step_of_unit / 2.0) * (1 + 1e-6) + 1e-9 * abs(
            number
        )


def test_a_figure_in_a_unit_of_another_kind_is_refused() -> None:
    with pytest.raises(ValueError, match="cannot be shown in mAh"):
        number_text(figure(24.0, 20.0, 28.0, "%"), "mAh")


def test_a_number_without_spread_loses_at_most_half_a_percent() -> None:
    assert plain_text(0.1837, "m") == "0.184 m"
    assert plain_text(1980.0, "mAh") == "550 mAh"


def test_a_chance_never_rounds_to_certainty() -> None:
    assert chance_text(0.9999) == "over 99 %"
    assert chance_text(1.0) == "over 99 %"
    assert chance_text(0.0) == "under 1 %"
    assert chance_text(1.0, is_exact=True) == "100 %"
    assert chance_text(None) == "not known"
