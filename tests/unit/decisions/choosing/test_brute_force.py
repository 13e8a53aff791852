"""The staged search against flying every build, on random small drawers, by another way to each number.

Here every build is made as a model of its own and goes through the whole forecast twice: at the middle of
every input for its goals, and over the draws for its limits. Places are tried one by one. Nothing of the
screen, of its rows or of its batches is used.
"""

import math
from collections.abc import Iterator
from itertools import product

import numpy as np
import pytest

from glidewright.base.errors import InputError
from glidewright.base.figure import Given
from glidewright.calibration.learned import correction_of
from glidewright.decisions import choose
from glidewright.decisions.balancing.places import bay_around, bays_for, body_ends, fits
from glidewright.decisions.balancing.search import aim_for
from glidewright.decisions.changed_model import without_taught
from glidewright.decisions.choosing.builds import (
    Build,
    Roles,
    fitted_build,
    model_of,
    roles_of,
    to_buy,
    with_more_parts,
)
from glidewright.decisions.choosing.goals import GOALS
from glidewright.decisions.choosing.nouns import ChooseRequest, ChooseResult
from glidewright.decisions.choosing.simulate import OF_AIRFRAME
from glidewright.decisions.judgement import judge
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.domain.parts import Controller, Motor, Pack, Part, Propeller
from glidewright.forecast.items import item_draws
from glidewright.forecast.kernel_rows import Orders, launch_rows
from glidewright.forecast.power_inputs import PowerInputs
from glidewright.forecast.predict import Forecast, forecast
from glidewright.forecast.setup import Setup, prepare
from glidewright.forecast.spread import Input
from glidewright.models.launch.steady_speed import steady_speeds_m_s

DRAWERS = 50
DRAWS = 16
INCH = 0.0254


def every_build(roles: Roles) -> Iterator[Build]:
    """All builds of some roles with everything in its place and no ballast; nothing is judged."""
    count = sum(len(group.places) for group in roles.servos)
    drives = product(roles.motors, roles.controllers, roles.packs, roles.propellers)
    for (motor, controller, pack, (blades, carrier)), chosen in product(
        drives, tuple(product(*(group.parts for group in roles.servos)))
    ):
        servos = [""] * count
        for group, part in zip(roles.servos, chosen, strict=True):
            for place in group.places:
                servos[place] = part.id
        yield Build(
            motor=motor.id,
            controller=controller.id,
            pack=pack.id,
            propeller=blades.id,
            yoke="" if carrier.id == blades.id else carrier.id,
            servos=tuple(servos),
        )


def given(value: float, grade: str = "quoted") -> Given:
    return Given.model_validate({"value": float(value), "grade": grade})


def random_drawer(rng: np.random.Generator) -> tuple[Part, ...]:
    """A motor, a pack and a propeller beside the fitted ones, sometimes a controller; invented numbers."""
    kv = rng.uniform(700.0, 1500.0)

    def terms() -> dict[str, object]:
        on_hand = bool(rng.random() < 0.4)
        price = given(round(rng.uniform(8.0, 40.0), 2))
        return {"on_hand": on_hand, "price": price, "lead_time_s": given(86400.0 * rng.integers(1, 9))}

    cells = int(rng.choice([2, 2, 3]))
    parts: list[Part] = [
        Motor(
            id="rm",
            kv_rad_per_Vs=given(kv * 2.0 * math.pi / 60.0, "measured"),
            resistance_ohm=given(rng.uniform(60.0, 130.0) / kv, "measured"),
            no_load_current_A=given(rng.uniform(0.4, 1.0), "measured"),
            no_load_voltage_V=given(8.0),
            max_current_A=given(rng.uniform(9.0, 25.0)),
            max_current_time_s=given(30.0),
            mass_kg=given(rng.uniform(0.035, 0.065)),
            length_m=given(rng.uniform(0.024, 0.036)),
            **terms(),
        ),
        Pack(
            id="rp",
            cells=cells,
            capacity_As=given(3.6 * rng.integers(400, 900)),
            c_rating=given(rng.uniform(15.0, 50.0)),
            limit_temperature_K=given(333.15),
            mass_kg=given(rng.uniform(0.028, 0.075)),
            length_m=given(rng.uniform(0.050, 0.120)),
            width_m=given(0.030),
            height_m=given(rng.uniform(0.012, 0.026)),
            **terms(),
        ),
        Propeller(
            id="rx",
            diameter_m=given(INCH * rng.choice([8.0, 9.0, 9.5, 10.0, 11.0])),
            pitch_m=given(INCH * rng.choice([4.0, 5.0, 6.0])),
            yoke_m=given(rng.choice([0.042, 0.042, 0.047])),
            yoke_assumed_m=given(0.042),
            spinner_diameter_m=given(0.038),
            max_revs_per_s=given(220.0),
            mass_kg=given(rng.uniform(0.016, 0.024)),
            **terms(),
        ),
    ]
    if rng.random() < 0.2:
        parts.append(
            Controller(
                id="rc",
                max_current_A=given(rng.choice([12.0, 20.0, 30.0])),
                cells_least=2,
                cells_most=int(rng.choice([2, 3])),
                resistance_ohm=given(0.007),
                low_voltage_cut_V=given(3.0),
                servo_supply="switching",
                servo_supply_current_A=given(3.0),
                mass_kg=given(rng.uniform(0.010, 0.024)),
                **terms(),
            )
        )
    return tuple(parts)


def request_of(demo: Model, rule: ClassLimits, seed: int) -> ChooseRequest:
    """A random drawer with a random climb limit, random goals and sometimes a need."""
    rng = np.random.default_rng(4000 + seed)
    climb = float(rng.uniform(3.5, 9.0))
    kept = [limit for limit in rule.limits if limit.measure not in ("cells", "capacity", "climb_rate")]
    own = next(limit for limit in rule.limits if limit.measure == "climb_rate")
    limits = (
        *kept,
        own.model_copy(update={"at_most": climb, "chance_needed": float(rng.choice([0.6, 0.9]))}),
    )
    names = rng.permutation(["height", "launches", "mass", "cost", "days", "purchases", "margin"])
    model = demo.model_copy(update={"drawer": ()})
    return ChooseRequest(
        model=model,
        rule=rule.model_copy(update={"limits": limits}),
        parts=random_drawer(rng),
        goals=tuple(str(name) for name in names[: rng.integers(1, 5)]),
        needs=("height>=80",) if rng.random() < 0.3 else (),
        buy=None if rng.random() < 0.6 else int(rng.integers(0, 3)),
        draws=DRAWS,
    )


class EveryBuild:
    """The same question answered by flying everything."""

    def __init__(self, request: ChooseRequest) -> None:
        self.request = request
        self.model = with_more_parts(request.model, request.parts)
        self.correction = correction_of(request.model)
        self.base = forecast(
            prepare(request.model, request.rule, request.draws, self.correction),
            with_trace=False,
            with_many=False,
        )
        centre = self.base.prediction.values["cg_x_m"]
        airframe = request.model.airframe
        assert airframe.balance_front_x_m is not None
        assert airframe.balance_rear_x_m is not None
        front, rear = airframe.balance_front_x_m.value, airframe.balance_rear_x_m.value
        aim = aim_for(centre, front, rear, 0.9)
        self.aim = (aim.front_m, aim.rear_m)
        self.fitted = fitted_build(self.model)
        self.memo: dict[tuple[int, tuple[str, ...]], dict[Input, np.ndarray]] = {}

    @property
    def orders(self) -> Orders:
        assert self.base.orders is not None
        return self.base.orders

    def setup(self, build: Build, draws: int) -> Setup:
        correction = self.correction
        for kind, name in (
            (Motor, "motor"),
            (Controller, "controller"),
            (Pack, "pack"),
            (Propeller, "propeller"),
        ):
            if getattr(build, name) != getattr(self.fitted, name) or (kind is Propeller and build.yoke):
                correction = without_taught(correction, kind)
        memo = self.memo.setdefault((draws, correction.names), {})
        return prepare(model_of(self.model, build), self.request.rule, draws, correction, memo)

    def fits(self, build: Build) -> bool:
        """Sizes: the pack in its bay, the folded blades ahead of the wing, the spinner on the nose."""
        geometry = self.model.airframe.geometry
        assert geometry is not None
        pack, blades = self.model.from_drawer(build.pack), self.model.from_drawer(build.propeller)
        pack = pack or self.request.model.first(Pack)
        assert pack is not None
        return any(fits(bay, pack) for bay in geometry.bays if "pack" in bay.takes) and (
            blades is None or not isinstance(blades, Propeller) or 0.5 * blades.diameter_m.value < 0.3
        )

    def placed(self, build: Build) -> Build | None:
        """Where the pack needs the least ballast, tried place by place; of equals the nearest place."""
        changed = model_of(self.model, build)
        setup = self.setup(build, 1).nominal()
        now = item_draws(setup.model, setup.inputs, setup.scores).now
        mass, centre = float(now.mass_kg[0]), float(now.centre_m[0, 0])
        item = next(own for own, _ in changed.of_kind(Pack))
        pack, motor = changed.first(Pack), changed.first(Motor)
        fitted_motor = self.model.first(Motor)
        assert pack is not None and motor is not None and fitted_motor is not None
        assert item.part.x_m is not None and pack.mass_kg is not None and pack.length_m is not None
        assert (
            fitted_motor.x_m is not None and fitted_motor.length_m is not None and motor.length_m is not None
        )
        here = item.part.x_m.value
        rear = fitted_motor.x_m.value - 0.5 * fitted_motor.length_m.value + motor.length_m.value
        spans = [span for _, span in bays_for(changed, item, pack)]
        around = bay_around(changed, item)
        places = [here] if around is None or any(low <= here <= high for low, high in spans) else []
        for low, high in spans:
            steps = max(math.ceil((high - low) / 0.005 - 1e-9), 1)
            places += [low + (high - low) * i / steps for i in range(steps + 1)]
        nose, tail = body_ends(self.model) or (0.0, 0.0)
        options = []
        for x in places:
            if rear > x - 0.5 * pack.length_m.value + 1e-9:
                continue
            moment = mass * centre + pack.mass_kg.value * (x - here)
            front = max(0.0, (moment - mass * self.aim[1]) / (self.aim[1] - nose))
            back = max(0.0, (mass * self.aim[0] - moment) / (tail - self.aim[0]))
            grams = [0.0005 * math.ceil(round(one / 0.0005, 6)) for one in (front, back)]
            if max(grams) <= 0.08:
                options.append((round(sum(grams), 6), round(abs(x - here), 6), x, grams))
        if not options:
            return None
        _, moved, x, (front, back) = min(options)
        update = {"nose_ballast_kg": front, "tail_ballast_kg": back}
        return build.model_copy(update=update | ({} if moved == 0.0 else {"pack_x_m": x}))

    def goals(self, build: Build) -> tuple[tuple[float, ...], float] | None:
        """Goals in whole steps at the middle and the climb airspeed, or nothing where a need is missed."""
        setup = self.setup(build, 1).nominal()
        assert isinstance(setup.power, PowerInputs)
        mass = item_draws(setup.model, setup.inputs, setup.scores).now.mass_kg
        speed = float(steady_speeds_m_s(launch_rows(setup, setup.power, mass, self.orders))[0][0])
        middle = self.flown(setup, speed, with_many=True).prediction.values
        bought = {part.id: part for part in to_buy(self.model, build)}.values()
        values = {
            "height": float(middle["height_true_m"][0]),
            "launches": float(middle["launches"][0]),
            "mass": float(middle["mass_kg"][0]),
            "cost": sum(part.price.value for part in bought if part.price is not None),
            "days": max((part.lead_time_s.value for part in bought if part.lead_time_s), default=0.0),
            "purchases": float(len(bought)),
            "margin": self.margin(setup, middle),
        }
        if self.request.needs and not values["height"] >= 80.0:
            return None
        steps = [float(GOALS[name].compared(np.array([values[name]]))[0]) for name in self.request.goals]
        return tuple(steps), speed

    @staticmethod
    def margin(setup: Setup, middle: "dict[str, np.ndarray] | object") -> float:
        """The least share left of a stated limit, written down once more."""
        values = {name: float(draws[0]) for name, draws in dict(middle).items()}  # type: ignore[call-overload]
        model = setup.model
        motor, controller = model.first(Motor), model.first(Controller)
        pack, propeller = model.first(Pack), model.first(Propeller)
        assert motor and controller and pack and propeller
        air = float(setup.values["field.temperature"][0])
        pairs: list[tuple[float, Given | None]] = [
            (values["motor_power_W"], motor.max_power_W),
            (values["launch_motor_current_A"], controller.max_current_A),
            (values["static_motor_current_A"], controller.burst_current_A),
            (values["servo_supply_load_A"], controller.servo_supply_current_A),
            (values["propeller_revs_per_s"], propeller.max_revs_per_s),
            (
                values["pack_temperature_last_K"] - air,
                None if pack.limit_temperature_K is None else given(pack.limit_temperature_K.value - air),
            ),
        ]
        used = [value / limit.value for value, limit in pairs if limit is not None]
        if pack.c_rating is not None:
            used.append(
                values["launch_pack_current_A"] / (pack.c_rating.value * pack.capacity_As.value / 3600.0)
            )
        if controller.low_voltage_cut_V is not None:
            used.append(controller.low_voltage_cut_V.value / values["lowest_cell_V"])
        if motor.max_current_A is not None:
            assert motor.max_current_time_s is not None
            longer = max(values["motor_run_s"] / motor.max_current_time_s.value, 1.0)
            used.append(values["launch_motor_current_A"] / (motor.max_current_A.value / math.sqrt(longer)))
        return 1.0 - max(used)

    def flown(self, setup: Setup, speed: float, with_many: bool) -> Forecast:
        return forecast(
            setup,
            with_trace=False,
            with_many=with_many,
            with_causes=False,
            with_power_curves=False,
            with_glide=False,
            climb_speed_m_s=speed,
            like=self.orders,
        )

    def is_legal(self, build: Build, speed: float) -> bool:
        """Every limit that a build decides, over the draws, at the same climb airspeed."""
        found = self.flown(self.setup(build, self.request.draws), speed, with_many=True)
        return not any(
            one.severity in ("broken", "doubtful")
            for one in judge(found)
            if one.name not in OF_AIRFRAME and one.name != "balance"
        )

    def answer(self) -> set[tuple[float, ...]]:
        """Goals of all builds that nothing beats.

        From the best on; what a legal build beats or equals is in no such set, whether it is legal or not.
        """
        rows = []
        for build in every_build(roles_of(self.model)):
            bought = {part.id for part in to_buy(self.model, build)}
            if (self.request.buy is not None and len(bought) > self.request.buy) or not self.fits(build):
                continue
            placed = self.placed(build)
            goals = None if placed is None else self.goals(placed)
            if placed is not None and goals is not None:
                rows.append((*goals, placed))
        legal: set[tuple[float, ...]] = set()
        for goals, speed, placed in sorted(rows, key=lambda row: row[0]):
            is_beaten = any(all(a <= b for a, b in zip(one, goals, strict=True)) for one in legal)
            if not is_beaten and self.is_legal(placed, speed):
                legal.add(goals)
        return legal


def goals_in(result: ChooseResult) -> set[tuple[float, ...]]:
    found = set()
    for choice in result.choices:
        values = []
        for name in result.goals:
            figure = choice.value(name)
            value = math.nan if figure.value is None else figure.value
            values.append(float(GOALS[name].compared(np.array([value]))[0]))
        found.add(tuple(values))
    return found


@pytest.mark.parametrize("seed", range(DRAWERS))
def test_the_staged_search_finds_what_flying_every_build_finds(
    demo: Model, hill_class: ClassLimits, seed: int
) -> None:
    request = request_of(demo, hill_class, seed)
    wanted = EveryBuild(request).answer()
    try:
        result = choose.run(request)
    except InputError as refused:
        assert str(refused).startswith("choose: must find"), refused
        assert wanted == set()
        return
    assert goals_in(result) == wanted
    assert result.open_sets == 0
    assert not result.is_partial


def test_the_random_drawers_are_no_easy_ones(demo: Model, hill_class: ClassLimits) -> None:
    """Some have no legal build, some several that nothing beats, some lose builds by chance alone."""
    sizes, failed = [], 0
    for seed in range(12):
        try:
            result = choose.run(request_of(demo, hill_class, seed))
        except InputError:
            sizes.append(0)
            continue
        sizes.append(len(result.choices))
        failed += result.failed
    assert 0 in sizes
    assert max(sizes) > 1
    assert failed > 0
