"""Comparisons: differences draw by draw against other ways to find them, and what counts as one."""

import shutil
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import optimize

from glidewright.base.errors import InputError, OutsideModelError
from glidewright.base.figure import Figure, Given
from glidewright.calibration.bench import learn_from_bench
from glidewright.decisions.compare import run
from glidewright.decisions.comparing.cost import rates_for
from glidewright.decisions.comparing.draws import Flown, PairedFlights
from glidewright.decisions.comparing.figures import ballast_at_ends_kg, into_wind
from glidewright.decisions.comparing.nouns import CompareRequest, CompareResult, Difference, Entrant, Line
from glidewright.decisions.gliding.flight import flight_of
from glidewright.domain.bench import BenchReading
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Altimeter, Controller, Pack, Propeller
from glidewright.domain.weighing import Weighing
from glidewright.forecast.predict import forecast
from glidewright.forecast.setup import Setup, corrected, prepare
from glidewright.models.aero.glide import glide_at
from glidewright.store.reading import read_model
from glidewright.store.variants import read_variant

Array = NDArray[np.float64]
Lay = Callable[..., Model]
DRAWS = 128


def line(result: CompareResult, name: str) -> Line:
    return next(one for one in result.lines if one.name == name)


def apart(result: CompareResult, name: str, number: int = 0) -> Difference:
    return line(result, name).differences[number]


def value(figure: Figure) -> float:
    assert figure.value is not None
    return figure.value


def compared(*models: Model, base: Model | None = None, **more: Any) -> CompareResult:
    """The first model with others, which are variants of the base where there is one; judged by no class."""
    entrants = [Entrant(model=one, base=None if one is base else base) for one in models]
    request: dict[str, Any] = {"draws": DRAWS, "is_without_class": True} | more
    return run(CompareRequest(entrants=tuple(entrants), **request))


def with_items(model: Model, **parts: Any) -> Model:
    """The model with parts of items replaced, by the name of the item; None takes one out."""
    items = [Item(name=one.name, part=parts.get(one.name.replace(" ", "_"), one.part)) for one in model.items
             if parts.get(one.name.replace(" ", "_"), one.part) is not None]  # fmt: skip
    return model.model_copy(update={"items": tuple(items), "name": f"{model.name}, other"})


def from_drawer(model: Model, part_id: str, like: str) -> Any:
    """A part of the drawer at the place of an item."""
    part = model.from_drawer(part_id)
    assert part is not None
    place = next(one.part for one in model.items if one.name == like)
    return part.model_copy(update={axis: getattr(place, axis) for axis in ("x_m", "y_m", "z_m")})


@pytest.fixture(scope="module")
def bigger(demo: Model) -> Model:
    return with_items(demo, pack=from_drawer(demo, "p2-800", "pack"))


@pytest.fixture(scope="module")
def without_drive(demo: Model) -> Model:
    """The demo without its controller: nothing is flown, masses alone are compared."""
    return with_items(demo, controller=None).model_copy(update={"name": demo.name, "weighings": ()})


# ------------------------------------------------------------------ the linear case: mass


def spread_of_mass(model: Model, names: set[str], seed: int) -> float:
    """Variance of the mass of some items, each drawn by a generator of its own."""
    random = np.random.default_rng(seed)
    inputs = prepare(model, None, 1).inputs
    return float(sum(np.var(inputs[f"mass:{name}"].draws(random.standard_normal(200_000))) for name in names))


def test_variance_of_a_difference_of_masses_is_that_of_independent_models_with_their_covariance(
    without_drive: Model,
) -> None:
    base = without_drive
    other = with_items(base, pack=from_drawer(base, "p2-800", "pack"), pod=base.items[9].part.model_copy(
        update={"mass_kg": Given(value=0.055, grade="guessed")}))  # fmt: skip
    assert base.items[9].name == "pod"
    flights = PairedFlights(4096)
    first, second = (
        flights.fly(one, letter).found.prediction.values["mass_kg"]
        for one, letter in ((Entrant(model=base), "A"), (Entrant(model=other, base=base), "B"))
    )
    names = {item.name for item in base.items}
    alone, other_alone = spread_of_mass(base, names, 1), spread_of_mass(other, names, 2)
    shared = spread_of_mass(base, names - {"pack", "pod"}, 3)  # the covariance: what is the same in both
    expected = alone + other_alone - 2.0 * shared
    assert np.var(second - first) == pytest.approx(expected, rel=0.05)
    assert np.var(second - first) < 0.7 * (alone + other_alone)
    assert np.var(first) == pytest.approx(alone, rel=0.05)


def test_what_the_scale_said_of_all_stays_true_of_the_rest(without_drive: Model) -> None:
    """With the whole weighed, only the swapped parts matter: old one given the reading, new one as it is.

    For normal spreads the old one given the sum has the variance v - v^2 / (sum of v + reading).
    """
    weighed = Weighing(of=("all",), mass_kg=Given(value=0.62, grade="measured"))
    base = without_drive.model_copy(update={"weighings": (weighed,)})
    other = with_items(base, pack=from_drawer(base, "p2-800", "pack"))
    flights = PairedFlights(4096)
    first = flights.fly(Entrant(model=base), "A").found.prediction.values["mass_kg"]
    second = flights.fly(Entrant(model=other, base=base), "B").found.prediction.values["mass_kg"]
    inputs = prepare(base, None, 1).inputs
    variance = {n: ((e.high - e.low) / 2.0 / 1.2816) ** 2 for n, e in inputs.items() if n.startswith("mass:")}
    reading = ((inputs["weighing:1"].high - inputs["weighing:1"].low) / 2.0 / 1.2816) ** 2
    old = variance["mass:pack"] * (1.0 - variance["mass:pack"] / (sum(variance.values()) + reading))
    new_entry = prepare(other, None, 1).inputs["mass:pack"]
    new = ((new_entry.high - new_entry.low) / 2.0 / 1.2816) ** 2
    assert np.median(first) == pytest.approx(0.62, abs=0.001)
    assert np.var(second - first) == pytest.approx(old + new, rel=0.08)
    assert np.var(second - first) < 0.1 * np.var(prepare_mass(without_drive))
    # the sum was read higher than planned; a share of that went to the old pack and left with it
    moved = 0.62 - sum(inputs[n].value for n in variance)
    share = variance["mass:pack"] / (sum(variance.values()) + reading)
    assert np.median(second - first) == pytest.approx(0.048 - (0.034 + share * moved), abs=0.0004)


def prepare_mass(model: Model) -> Array:
    return forecast(prepare(model, None, 1024)).prediction.values["mass_kg"]


def test_an_item_whose_mass_only_the_scale_knows_is_known_in_a_variant_too(without_drive: Model) -> None:
    boom = next(one.part for one in without_drive.items if one.name == "boom")
    base = with_items(without_drive, boom=boom.model_copy(update={"mass_kg": None}))
    base = base.model_copy(
        update={"weighings": (Weighing(of=("boom",), mass_kg=Given(value=0.031, grade="measured")),)}
    )
    other = with_items(base, pack=from_drawer(base, "p2-800", "pack"))
    result = compared(base, other, base=base)
    difference = apart(result, "mass_kg").figure
    assert value(difference) == pytest.approx(0.014, abs=0.0005)
    assert "boom" not in difference.because


def test_a_weighing_of_the_variant_comes_on_top(demo: Model, bigger: Model) -> None:
    own = Weighing(of=("pack",), mass_kg=Given(value=0.05, grade="measured"))
    weighed = bigger.model_copy(update={"weighings": (*bigger.weighings, own)})
    wide, narrow = (apart(compared(demo, one, base=demo), "mass_kg").figure for one in (bigger, weighed))
    assert value(narrow) == pytest.approx(0.016, abs=0.0006)
    assert narrow.low is not None
    assert narrow.high is not None
    assert wide.low is not None
    assert wide.high is not None
    assert narrow.high - narrow.low < 0.8 * (wide.high - wide.low)


# ------------------------------------------------------------------ the demo: everything again by brute force


def evaluated(flown: Flown, scores: Mapping[str, Array], count: int) -> Mapping[str, Array]:
    """Results of a model for scores by column, set up by hand: no column of the program is used."""
    model, rule = flown.entrant.model, flown.entrant.rule
    own = prepare(model, rule, count)
    by_name = {name: scores[flown.columns[name]] for name in own.inputs}
    moved = corrected(by_name, learn_from_bench(model))
    values = {name: entry.draws(moved[name]) for name, entry in own.inputs.items()}
    setup = Setup(model, rule, count, own.inputs, moved, values, own.power, own.missing)
    return forecast(setup, with_trace=False, with_many=False).prediction.values


def test_spread_of_differences_is_that_of_brute_force(demo: Model, bigger: Model) -> None:
    """Both models again for fresh random numbers, the same ones where they share an input."""
    base, other = (one.model_copy(update={"weighings": ()}) for one in (demo, bigger))
    count = 1024
    flights = PairedFlights(count)
    first, second = (
        flights.fly(Entrant(model=one, base=of), letter)
        for one, of, letter in ((base, None, "A"), (other, base, "B"))
    )
    random = np.random.default_rng(5)
    columns = sorted({*first.columns.values(), *second.columns.values()})
    assert "pack.resistance #2" in columns
    assert "motor.kv #2" not in columns
    scores = {name: random.standard_normal(count) for name in columns}
    one, two = (evaluated(flown, scores, count) for flown in (first, second))
    for name, tolerance in (
        ("mean_climb_m_s", 0.12),
        ("sink_least_m_s", 0.12),
        ("cg_x_m", 0.1),
        ("mass_kg", 0.1),
    ):
        paired = second.found.prediction.values[name] - first.found.prediction.values[name]
        again = two[name] - one[name]
        # half of the spread between percentiles, which a few far draws do not move
        halves = [np.diff(np.quantile(draws, (0.1, 0.9)))[0] for draws in (paired, again)]
        assert halves[0] == pytest.approx(halves[1], rel=tolerance), name
        assert np.var(paired) == pytest.approx(np.var(again), rel=0.2), name
        assert np.median(paired) == pytest.approx(np.median(again), abs=0.15 * halves[1]), name
        apart_alone = np.hypot(np.std(one[name]), np.std(two[name]))
        assert np.std(paired) < 0.3 * apart_alone, name


def test_the_first_model_has_the_figures_of_every_other_command(demo: Model, hill_class: ClassLimits) -> None:
    entrants = (
        Entrant(model=demo, rule=hill_class),
        Entrant(model=with_items(demo, canopy=None), rule=hill_class),
    )
    result = run(CompareRequest(entrants=entrants, draws=DRAWS))
    alone = forecast(prepare(demo, hill_class, DRAWS), with_trace=False).prediction
    for name, shown in (
        ("height_true_m", "m"),
        ("launches", ""),
        ("sink_least_m_s", "m/s"),
        ("cg_x_m", "mm"),
    ):
        assert line(result, name).figures[0] == alone.figure(name, shown)


def test_days_that_differ_are_said(demo: Model) -> None:
    field = demo.field.model_copy(update={"elevation_m": Given(value=0.0, grade="measured")})
    other = demo.model_copy(update={"field": field, "name": "B"})
    assert any("the fields differ" in one for one in compared(demo, other).remarks)
    assert not any(
        "the fields differ" in one for one in compared(demo, with_items(demo, canopy=None)).remarks
    )


def test_models_that_are_the_same_do_not_differ_in_any_draw(demo: Model) -> None:
    result = compared(demo, demo.model_copy(update={"name": "Twin"}))
    assert result.inputs == ()
    assert result.drawn_apart == ()
    for one in result.lines:
        for own in one.differences:
            assert (own.figure.low, own.figure.high) == (0.0, 0.0), one.name
        assert (one.best, one.sure) == ((), None)


# ------------------------------------------------------------------ what is the same thing in two models


def columns_apart(first: Model, second: Model, base: Model | None) -> set[str]:
    flights = PairedFlights(4)
    one, two = (
        flights.fly(Entrant(model=model, base=of), "A") for model, of in ((first, None), (second, base))
    )
    return {name for name in two.columns if name in one.columns and one.columns[name] != two.columns[name]}


def test_parts_places_and_readings_have_own_draws_where_they_are_not_the_same(demo: Model) -> None:
    pack = from_drawer(demo, "p2-800", "pack")
    moved = pack.model_copy(update={"x_m": Given(value=-0.1, grade="quoted")})
    found = columns_apart(demo, with_items(demo, pack=moved), demo)
    assert {"mass:pack", "x:pack", "pack.capacity", "pack.resistance"} <= found
    assert all(name.startswith("pack.") or name.endswith(":pack") for name in found)
    only_moved = next(one.part for one in demo.items if one.name == "pack").model_copy(
        update={"x_m": Given(value=-0.1, grade="quoted")}
    )
    assert columns_apart(demo, with_items(demo, pack=only_moved), demo) == {"x:pack"}


def test_another_propeller_folds_otherwise_and_another_receiver_draws_otherwise(demo: Model) -> None:
    other = with_items(demo, propeller=from_drawer(demo, "f10x6", "propeller"))
    found = columns_apart(demo, other, demo)
    assert {"propeller.thrust", "propeller.power", "airframe.folded_drag_area", "mass:propeller"} <= found
    light = with_items(demo, receiver=from_drawer(demo, "r5-light", "receiver"))
    assert columns_apart(demo, light, demo) == {"radio.current", "mass:receiver"}


def test_a_day_a_pilot_and_the_method_are_the_same_for_all(demo: Model) -> None:
    field = demo.field.model_copy(update={"headwind_m_s": Given(value=5.0, grade="typical")})
    span = demo.airframe.model_copy(update={"span_m": Given(value=2.2, grade="measured")})
    assert columns_apart(demo, demo.model_copy(update={"field": field, "name": "B"}), None) == set()
    assert columns_apart(demo, demo.model_copy(update={"airframe": span, "name": "B"}), demo) == {
        "airframe.span"
    }
    other = columns_apart(demo, demo.model_copy(update={"airframe": span, "name": "B"}), None)
    assert {"airframe.roughness", "airframe.wing_area", "airframe.decalage"} <= other
    assert {"mass:pod", "x:pack", "weighing:1"} <= other  # built and measured twice
    assert not {"airframe.build_up", "airframe.induced_drag", "airframe.section_drag"} & other
    assert not {"mass:pack", "motor.kv", "field.headwind", "launch.throw_speed"} & other


def test_other_sections_have_own_errors(demo: Model) -> None:
    geometry = demo.airframe.geometry
    assert geometry is not None
    panels = tuple(panel.model_copy(update={"section": "AG24"}) for panel in geometry.panels)
    changed = geometry.model_copy(update={"panels": panels})
    airframe = demo.airframe.model_copy(update={"geometry": changed})
    found = columns_apart(demo, demo.model_copy(update={"airframe": airframe, "name": "B"}), demo)
    assert found == {"airframe.section_drag", "airframe.zero_lift", "airframe.stall"}


def test_what_the_bench_taught_of_a_kept_part_holds_for_a_variant(demo: Model, bigger: Model) -> None:
    reading = BenchReading(
        voltage_V=Given(value=7.2, grade="measured"),
        current_A=Given(value=15.0, grade="measured"),
        revs_per_s=Given(value=98.0, grade="measured"),
    )
    base, other = (one.model_copy(update={"bench": (reading,)}) for one in (demo, bigger))
    flights = PairedFlights(64)
    first = flights.fly(Entrant(model=base), "A").found.setup
    second = flights.fly(Entrant(model=other, base=base), "B").found.setup
    assert np.array_equal(first["motor.kv"], second["motor.kv"])
    assert np.array_equal(first["propeller.power"], second["propeller.power"])
    assert np.std(first["motor.kv"]) < np.std(prepare(demo, None, 64)["motor.kv"])
    assert "pack.resistance" not in second.correction.names
    assert "motor.kv" in second.correction.names
    alone = prepare(bigger, None, 64)  # the new pack was never on the bench
    assert np.std(second["pack.resistance"]) == pytest.approx(np.std(alone["pack.resistance"]), rel=0.1)


def test_a_reading_of_the_variant_itself_teaches_of_its_parts(demo: Model, bigger: Model) -> None:
    reading = BenchReading(
        voltage_V=Given(value=7.4, grade="measured"),
        current_A=Given(value=14.0, grade="measured"),
        charge=Given(value=1.0, grade="measured"),
    )
    other = bigger.model_copy(update={"bench": (reading,)})
    found = PairedFlights(64).fly(Entrant(model=other, base=demo), "B").found.setup
    assert "pack.resistance" in found.correction.names
    assert np.std(found["pack.resistance"]) < np.std(prepare(bigger, None, 64)["pack.resistance"])


# ------------------------------------------------------------------ single lines


def test_speed_to_fly_against_a_solver(demo: Model) -> None:
    flight = flight_of(forecast(prepare(demo, None, 8), with_many=False))
    speed, sink, ratio = into_wind(flight, 5.0)
    stall_lift = 0.9 * 2.0 * flight.loading_N_m2 / (flight.density_kg_m3 * flight.stall_m_s**2)

    def over_ground(lift: float, row: int) -> float:
        some = slice(row, row + 1)
        loading, density = flight.loading_N_m2[some], flight.density_kg_m3[some]
        at = glide_at(flight.polar[some], np.array([[lift]]), loading, density, flight.other_drag[some])
        return -float(((at[0] - 5.0) / at[1])[0, 0])

    for row in range(4):
        ends = (0.15, float(stall_lift[row]))
        best = optimize.minimize_scalar(over_ground, args=(row,), bounds=ends, options={"xatol": 1e-9})
        assert ratio[row] == pytest.approx(-best.fun, rel=1e-4)
        assert ratio[row] == pytest.approx((speed[row] - 5.0) / sink[row], rel=1e-12)
    calm = into_wind(flight, 0.0)
    assert calm[2] == pytest.approx(
        forecast(prepare(demo, None, 8), with_many=False).prediction.values["glide_ratio_best"], rel=1e-3
    )
    assert (speed > calm[0]).all()


def test_ballast_at_the_ends_by_the_lever() -> None:
    edges = np.full(5, 0.064), np.full(5, 0.079)
    centre = np.array([0.059, 0.070, 0.085, 0.064, 0.090])
    mass = np.array([0.6, 0.6, 0.6, 0.6, 1.2])
    found = ballast_at_ends_kg(mass, centre, edges, (-0.23, 0.8))
    # moments by hand: 0.6 x 5 mm over 736 mm, nothing, 0.6 x 6 mm over 309 mm, nothing, 1.2 x 11 over 309
    assert found == pytest.approx([0.6 * 5 / 736, 0.0, 0.6 * 6 / 309, 0.0, 1.2 * 11 / 309])
    balanced = (mass * centre + found * np.array([0.8, 0.8, -0.23, 0.8, -0.23])) / (mass + found)
    assert balanced == pytest.approx([0.064, 0.070, 0.079, 0.064, 0.079])
    assert np.isinf(ballast_at_ends_kg(mass[:1], centre[:1], (edges[0][:1], edges[1][:1]), (-0.23, 0.06)))


def test_cost_counts_every_part_and_its_postage_once(demo: Model, bigger: Model) -> None:
    """By hand from the drawer: price times number, the motor's postage, nothing is to be bought."""
    result = compared(demo, bigger, base=demo)
    by_hand = 24.90 + 4.90 + 21.50 + 9.80 + 19.00 + 2 * 11.90 + 2 * 14.50 + 32.00 + 39.00 + 2 * 5.50 + 3.00
    assert value(line(result, "cost").figures[0]) == pytest.approx(by_hand, rel=0.01)
    assert value(apart(result, "cost").figure) == pytest.approx(13.40 - 9.80, abs=0.1)
    assert apart(result, "cost").better == "A"
    assert value(line(result, "cost_to_buy").figures[0]) == 0.0


def test_what_is_not_on_hand_is_still_to_be_paid(demo: Model) -> None:
    other = with_items(demo, pack=from_drawer(demo, "p2-600", "pack"))
    result = compared(demo, other, base=demo)
    assert value(line(result, "cost_to_buy").figures[1]) == pytest.approx(16.90 + 4.50, rel=0.02)


def test_costs_with_other_gaps_are_not_compared(demo: Model) -> None:
    pack = from_drawer(demo, "p2-800", "pack").model_copy(update={"price": None, "postage": None})
    result = compared(demo, with_items(demo, pack=pack), base=demo)
    assert apart(result, "cost").figure.value is None
    assert apart(result, "cost").figure.because == "items without a price differ"
    assert (line(result, "cost").best, line(result, "cost").sure) == ((), None)
    assert any("costs cannot be compared" in one for one in result.remarks)


def test_foreign_money_counts_by_its_rate(demo: Model, bigger: Model) -> None:
    abroad = bigger.model_copy(update={"currency": "USD"})
    home, foreign = compared(demo, bigger), compared(demo, abroad, rates={"USD": 0.5})
    assert value(line(foreign, "cost").figures[1]) == pytest.approx(
        0.5 * value(line(home, "cost").figures[1]), rel=1e-9
    )
    assert "one USD counts as 0.5 EUR" in foreign.remarks
    assert foreign.currency == "EUR"


def test_hours_and_skill(demo: Model) -> None:
    easy = with_items(demo, canopy=None).model_copy(
        update={"build_time_s": Given(value=10 * 3600.0, grade="measured"), "skill": "beginner"}
    )
    result = compared(demo, easy)
    assert value(line(result, "build_time_s").figures[1]) == pytest.approx(36000.0, rel=0.01)
    assert apart(result, "build_time_s").better == "B"
    skill = line(result, "skill")
    assert (skill.words, skill.best) == (("improver", "beginner"), ("B",))
    unsaid = compared(demo, easy.model_copy(update={"skill": None, "build_time_s": None}))
    assert line(unsaid, "skill").words == ("improver", "not stated")
    assert line(unsaid, "skill").best == ()
    assert "build_hours" in apart(unsaid, "build_time_s").figure.because


def test_the_chance_of_the_balance_is_that_of_its_finding(demo: Model, bigger: Model) -> None:
    result = compared(demo, bigger, base=demo)
    found = line(result, "chance_balanced")
    for figure, model in zip(found.figures, result.models, strict=True):
        finding = next(one for one in model.findings if one.name == "balance")
        assert figure.value == finding.chance
    assert (found.sure, found.differences[0].sure) == (None, None)


def test_what_is_not_known_is_said_and_nobody_is_better(demo: Model) -> None:
    result = compared(demo, with_items(demo, controller=None))
    height = line(result, "height_true_m")
    assert height.figures[1].value is None
    assert "no controller" in height.differences[0].figure.because
    assert height.differences[0].figure.because.startswith("not known of B")
    assert (height.best, height.sure, height.differences[0].better) == ((), None, "")


def test_no_number_in_the_result_is_out_of_order(
    demo: Model, bigger: Model, faults_in: Callable[[Any], list[str]]
) -> None:
    other = with_items(demo, controller=None)
    result = compared(demo, bigger, other)
    lines = result.model_copy(update={"models": ()})
    assert faults_in(lines) == []


# ------------------------------------------------------------------ what differs


def test_only_what_differs_is_listed(demo: Model, bigger: Model) -> None:
    result = compared(demo, bigger, base=demo)
    rows = {row.key: row.values for row in result.inputs}
    assert rows == {
        "[[fitted]] pack: part": ("p2-550", "p2-800"),
        "[[fitted]] pack: mass_g": ("34", "48"),
        "[[fitted]] pack: length_mm": ("56", "60"),
        "[[fitted]] pack: width_mm": ("30", "31"),
        "[[fitted]] pack: height_mm": ("13", "15"),
        "[[fitted]] pack: price": ("9.8", "13.4"),
        "[[fitted]] pack: capacity_mAh": ("550", "800"),
        "[[fitted]] pack: c_rating": ("15", "35"),
    }


def test_a_grade_or_a_band_that_differs_is_seen(demo: Model) -> None:
    pack = next(one.part for one in demo.items if one.name == "pack")
    graded = pack.model_copy(update={"mass_kg": Given(value=0.034, grade="measured")})
    rows = compared(demo, with_items(demo, pack=graded), base=demo).inputs
    assert [(row.key, row.values) for row in rows] == [
        ("[[fitted]] pack: mass_g", ("34 quoted", "34 measured"))
    ]


def test_tables_at_the_top_and_missing_ones_are_told(demo: Model, without_drive: Model) -> None:
    geometry = demo.airframe.geometry
    assert geometry is not None
    panels = (
        geometry.panels[0].model_copy(update={"tip_chord_m": Given(value=0.19, grade="quoted")}),
        *geometry.panels[1:],
    )
    airframe = demo.airframe.model_copy(update={"geometry": geometry.model_copy(update={"panels": panels})})
    launch = demo.launch.model_copy(update={"climb_speed_m_s": Given(value=9.0, grade="measured")})
    other = without_drive.model_copy(
        update={"airframe": airframe, "launch": launch, "class_id": "", "name": "B", "skill": None}
    )
    rows = {row.key: row.values for row in compared(demo, other).inputs}
    assert rows["[[panel]] inner panel: tip_chord_mm"] == ("194", "190")
    assert rows["[launch] climb_speed_m_per_s"] == ("-", "9")
    assert rows["class"] == ("hill-club-electric", "-")
    assert rows["skill"] == ("improver", "-")
    assert rows["[[fitted]] controller"] == ("c30, 19.0 g", "-")
    assert rows["[[weighing]] panel-right 2025-03-09"] == ("71.2 g", "-")
    assert not any("name" in key or "mean_chord" in key for key in rows)


# ------------------------------------------------------------------ the class, refusals, and the trade


def test_each_is_judged_by_its_own_class(demo: Model, bigger: Model, hill_class: ClassLimits) -> None:
    other = hill_class.model_copy(update={"title": "Other", "limits": hill_class.limits[:1]})
    entrants = (Entrant(model=demo, rule=hill_class), Entrant(model=bigger, base=demo, rule=other))
    result = run(CompareRequest(entrants=entrants, draws=32))
    assert [one.class_title for one in result.models] == [hill_class.title, "Other"]
    limited = {limit.measure for limit in hill_class.limits}
    own = [{one.name for one in model.findings if one.kind == "class"} & limited for model in result.models]
    assert own == [limited, {hill_class.limits[0].measure}]
    assert any("the classes differ" in one for one in result.remarks)
    assert {one.name.split(".")[0] for one in result.findings} == {"A", "B"}


@pytest.mark.parametrize(
    ("words", "make"),
    [
        ("must be 2 to 6 models or variants; 1 came", lambda demo, _: CompareRequest(entrants=(demo,))),
        (
            "must stand once among the models to compare",
            lambda demo, _: CompareRequest(entrants=(demo, demo)),
        ),
        (
            "class: must be stated so that its findings can be compared",
            lambda demo, other: CompareRequest(entrants=(demo, other.model_copy(update={"rule": None}))),
        ),
        (
            "--rate CHF: must be a currency of these",
            lambda d, o: CompareRequest(entrants=(d, o), rates={"CHF": 1.0}),
        ),
    ],
)
def test_what_cannot_be_compared_is_one_sentence(
    demo: Model, bigger: Model, hill_class: ClassLimits, words: str, make: Callable[..., CompareRequest]
) -> None:
    one, other = (Entrant(model=model, rule=hill_class) for model in (demo, bigger))
    with pytest.raises(InputError) as refused:
        run(make(one, other))
    assert len(refused.value.problems) == 1
    assert words in str(refused.value)


def test_rates_that_are_missing_or_of_no_use(demo: Model) -> None:
    abroad = demo.model_copy(update={"currency": "USD", "name": "Abroad"})
    with pytest.raises(InputError, match="Abroad has prices in USD, Hill Demo 2000 in EUR; add --rate USD="):
        rates_for([demo, abroad], {})
    with pytest.raises(InputError, match="must be a number above 0; -1 came"):
        rates_for([demo, abroad], {"USD": -1.0})
    assert rates_for([demo, abroad.model_copy(update={"items": ()})], {}) == {"EUR": 1.0}


def test_a_part_that_no_model_covers_is_named_with_its_letter(demo: Model) -> None:
    propeller = demo.first(Propeller)
    assert propeller is not None
    huge = propeller.model_copy(update={"diameter_m": Given(value=0.6, grade="quoted")})
    with pytest.raises(OutsideModelError, match=r"^B \(Hill Demo 2000, other\), propeller f11x6: "):
        compared(demo, with_items(demo, propeller=huge), base=demo)


PACKS = """\
schema = 1
[[pack]]
id = "two-800"
invented = true
cells = 2
capacity_mAh = 800
c_rating = 30
mass_g = 48
length_mm = 60
[[pack]]
id = "two-550"
invented = true
cells = 2
capacity_mAh = 550
c_rating = 30
mass_g = 34
length_mm = 56
[[item]]
id = "rewiring"
invented = true
group = "power"
mass_g = 9
"""
SMALLER = """\
schema = 1
[[fitted]]
name = "pack"
part = "two-550"
[[fitted]]
new = true
part = "rewiring"
x_mm = -140
y_mm = 0
z_mm = -22
"""


@pytest.mark.parametrize("is_limited", [True, False])
def test_a_smaller_pack_saves_grams_and_costs_launches(
    tmp_path: Path, demo_folder: Path, is_limited: bool
) -> None:
    """Common practice: with new wire and plug it saves a few grams, the height hardly moves.

    About a third of the launches goes. Geometry of the demo, packs invented, with and without its limiter.
    """
    folder = tmp_path / "hill"
    shutil.copytree(demo_folder, folder)
    (folder / "parts/packs.toml").write_text(PACKS, encoding="utf-8")
    (folder / "variants/smaller.toml").write_text(SMALLER, encoding="utf-8")
    text = (folder / "model.toml").read_text(encoding="utf-8").replace('"p2-550"', '"two-800"')
    if not is_limited:
        text = text.replace('part = "limiter"', 'part = "logger"')
    (folder / "model.toml").write_text(text, encoding="utf-8")
    base = read_model(folder)
    result = compared(base, read_variant(folder, "smaller"), base=base, draws=256)
    saved = value(apart(result, "mass_kg").figure)
    assert -0.009 < saved < -0.001  # 34 + 9 - 48 = -5 g
    assert saved == pytest.approx(-0.005, abs=0.0012)
    lost = value(apart(result, "launches").share)
    assert -0.40 < lost < -0.25  # 1 - 550 / 800 is 31 %
    higher = value(apart(result, "height_true_m").share)
    assert -0.08 < higher < 0.01
    assert abs(higher) < 0.3 * abs(lost)
    assert (base.first(Altimeter) or Altimeter(id="none")).stops_motor is is_limited
    assert base.first(Pack) is not None
    assert base.first(Controller) is not None
