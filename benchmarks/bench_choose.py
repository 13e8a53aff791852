"""A made drawer of a million sets of parts, against a plain Python loop of the same physics.

Run as ``python benchmarks/bench_choose.py [SETS]``. The invented parts make more than SETS sets with the demo
model (a million unless told); every one is screened, and what nothing beats is flown with spread until the
best hundred are known. In the same run 200 of the sets, drawn at random, go one by one through a Python loop:
labels, then balance, best climb airspeed and one launch by the twins in ``models/*/plain.py`` with
``scipy.integrate.solve_ivp``. Its time is extrapolated to all sets; the charges and the draws, which the loop
leaves out, are not counted. Heights of both sides are compared on the way.
"""

import math
import os
import resource
import sys
import time
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from glidewright.base.figure import Given
from glidewright.calibration.learned import correction_of
from glidewright.data import packaged
from glidewright.decisions import choose
from glidewright.decisions.choosing.ask import Question
from glidewright.decisions.choosing.frame import Frame, kernel_inputs
from glidewright.decisions.choosing.nouns import ChooseRequest, ChooseResult
from glidewright.decisions.choosing.screen import Unit, screen
from glidewright.domain.parts import Controller, Motor, Pack, Part, Propeller, Servo
from glidewright.faces.cli.model_and_class import model_and_class
from glidewright.models.air.atmosphere import GRAVITY_m_s2
from glidewright.models.launch.plain import PlainLaunch, plain_launch
from measure import Measured, finish

Array = NDArray[np.float64]

SETS = 1_000_000
LOOPED = 200
GOALS = ("height", "launches", "mass", "cost", "margin")
BEST = 100
INCH, DAY_s = 0.0254, 86400.0
SEED = 1
WANTED_s, WANTED_MB, FIRST_s = 60.0, 1000.0, 3.0


def quoted(value: float) -> Given:
    """A seller's number."""
    return Given(value=float(value), grade="quoted")


def made_parts(sets: int) -> tuple[Part, ...]:
    """Invented motors, controllers, packs, propellers and servos that make at least so many sets."""
    rng = np.random.default_rng(SEED)
    scale = (sets / 1_000_000) ** 0.2
    makers = (made_motor, made_controller, made_pack, made_propeller, made_servo)
    counts = [max(round(n * scale), 1) for n in (10, 5, 12, 8, 2)]
    return tuple(make(rng, i) for make, count in zip(makers, counts, strict=True) for i in range(count))


def made_motor(rng: np.random.Generator, number: int) -> Part:
    """A motor of the 28 mm class, its resistance by its Kv."""
    kv = rng.uniform(700.0, 1700.0)
    return Motor(
        id=f"made-motor-{number}",
        kv_rad_per_Vs=quoted(kv * 2.0 * math.pi / 60.0),
        resistance_ohm=quoted(rng.uniform(40.0, 150.0) / kv),
        no_load_current_A=quoted(rng.uniform(0.4, 1.2)),
        no_load_voltage_V=quoted(8.0),
        max_current_A=quoted(rng.uniform(12.0, 30.0)),
        max_current_time_s=quoted(30.0),
        max_power_W=quoted(rng.uniform(100.0, 300.0)),
        can_diameter_m=quoted(0.028),
        length_m=quoted(0.030),
        mass_kg=quoted(rng.uniform(0.028, 0.075)),
        price=quoted(rng.uniform(15.0, 60.0)),
        lead_time_s=quoted(4.0 * DAY_s),
    )


def made_controller(rng: np.random.Generator, number: int) -> Part:
    """A controller for two to four cells."""
    return Controller(
        id=f"made-controller-{number}",
        max_current_A=quoted(float(rng.choice([15.0, 20.0, 25.0, 30.0, 40.0]))),
        cells_least=2,
        cells_most=4,
        resistance_ohm=quoted(rng.uniform(0.004, 0.012)),
        servo_supply="switching",
        servo_supply_current_A=quoted(3.0),
        servo_supply_voltage_V=quoted(5.0),
        low_voltage_cut_V=quoted(3.0),
        soft_start_s=quoted(0.8),
        mass_kg=quoted(rng.uniform(0.010, 0.030)),
        length_m=quoted(0.040),
        width_m=quoted(0.024),
        height_m=quoted(0.008),
        price=quoted(rng.uniform(12.0, 40.0)),
        lead_time_s=quoted(4.0 * DAY_s),
    )


def made_pack(rng: np.random.Generator, number: int) -> Part:
    """A pack of two or three cells, 8.5 g a watt-hour."""
    cells = int(rng.choice([2, 3]))
    capacity_mAh = float(rng.choice([450, 500, 550, 600, 650, 700, 850, 1000]))
    return Pack(
        id=f"made-pack-{number}",
        cells=cells,
        capacity_As=quoted(3.6 * capacity_mAh),
        c_rating=quoted(rng.uniform(20.0, 60.0)),
        limit_temperature_K=quoted(333.15),
        mass_kg=quoted(3.15e-5 * cells * capacity_mAh),
        length_m=quoted(0.058),
        width_m=quoted(0.030),
        height_m=quoted(0.007 * cells),
        price=quoted(rng.uniform(9.0, 25.0)),
        lead_time_s=quoted(6.0 * DAY_s),
    )


def made_propeller(rng: np.random.Generator, number: int) -> Part:
    """A folding propeller on its yoke."""
    diameter_in = float(rng.choice(np.arange(8.0, 12.5, 0.5)))
    return Propeller(
        id=f"made-propeller-{number}",
        diameter_m=quoted(INCH * diameter_in),
        pitch_m=quoted(INCH * rng.choice(np.arange(4.0, 7.5, 0.5))),
        yoke_m=quoted(0.042),
        yoke_assumed_m=quoted(0.042),
        spinner_diameter_m=quoted(0.038),
        max_revs_per_s=quoted(200.0),
        mass_kg=quoted(0.012 + 0.0009 * diameter_in),
        price=quoted(rng.uniform(10.0, 25.0)),
        lead_time_s=quoted(5.0 * DAY_s),
    )


def made_servo(rng: np.random.Generator, number: int) -> Part:
    """A servo that is strong enough."""
    return Servo(
        id=f"made-servo-{number}",
        torque_Nm=quoted(rng.uniform(0.12, 0.30)),
        working_current_A=quoted(rng.uniform(0.06, 0.14)),
        mass_kg=quoted(rng.uniform(0.0045, 0.011)),
        price=quoted(rng.uniform(8.0, 25.0)),
        lead_time_s=quoted(3.0 * DAY_s),
    )


def searched(request: ChooseRequest) -> tuple[ChooseResult, dict[str, float]]:
    """The whole search, with the times of its parts."""
    start, cpu = time.perf_counter(), time.process_time()
    times: dict[str, float] = {}
    last: choose.Progress | None = None
    for last in choose.steps(request):
        now = time.perf_counter() - start
        if "first_s" not in times and last.answer() is not None:
            times["first_s"] = now
        if last.stage.startswith("screening"):
            times["screened_s"] = now
    times["all_s"] = time.perf_counter() - start
    times["cpu_s"] = time.process_time() - cpu
    assert last is not None
    result = last.answer()
    assert result is not None
    return result, times


def looped(question: Question) -> tuple[float, float, int]:
    """Seconds a set in the plain loop, the worst difference of a height, and how many sets were flown."""
    sieve, frame = question.sieve, question.sieve.frame
    flats = np.random.default_rng(SEED).integers(0, sieve.size, LOOPED)
    worst, flown, spent = 0.0, 0, 0.0
    for flat in flats.tolist():
        start = time.perf_counter()
        rows = sieve.rows(np.array([flat]))
        if any(float(test.excess[tuple(int(rows[a][0]) for a in test.axes)]) > 0.0 for test in sieve.labels):
            spent += time.perf_counter() - start
            continue
        flown += 1
        mass = plain_mass(frame, tuple(int(row[0]) for row in rows))
        inputs = kernel_inputs(frame, rows, np.array([[mass]]))
        speed = plain_speed(PlainLaunch.of(inputs))
        flight = PlainLaunch.of(inputs.with_launch(climb_speed_m_s=speed))
        height = plain_launch(flight, solve_ivp, watch_voltage=False)["highest_in_window_m"]
        spent += time.perf_counter() - start
        found = screen(Unit(frame, np.array([flat]), rows))
        if found.values["height_m"].size:
            worst = max(worst, abs(float(found.values["height_m"][0]) / height - 1.0))
    return spent / LOOPED, worst, flown


def plain_mass(frame: Frame, options: tuple[int, ...]) -> float:
    """Mass with the least ballast, place by place."""
    places, aim, ends = frame.places, frame.places.aim_m, frame.places.ends_m
    assert aim is not None
    assert ends is not None
    mass = float(frame.base_kg[0]) + sum(float(a[o, 0]) for a, o in zip(frame.added_kg, options, strict=True))
    moment = float(frame.base_kg_m[0])
    moment += sum(float(a[o, 0]) for a, o in zip(frame.added_kg_m, options, strict=True))
    least = math.inf
    for shift in places.pack_shift_m[options[2]]:
        if math.isnan(shift):
            continue
        moved = moment + float(places.pack_kg[options[2]]) * float(shift)
        behind = max(0.0, (moved - mass * aim[1]) / (aim[1] - ends[0]))
        ahead = max(0.0, (mass * aim[0] - moved) / (ends[1] - aim[0]))
        least = min(least, math.ceil((behind + ahead) / 0.0005 - 1e-9) * 0.0005)
    return mass + least


def plain_speed(flight: PlainLaunch) -> float:
    """Airspeed of the fastest steady climb: a grid, then golden sections, as the kernel does."""
    weight = flight.launch["mass_kg"] * GRAVITY_m_s2
    density, area = flight.launch["ground_density_kg_m3"], flight.launch["wing_area_m2"]
    steepest = math.sin(flight.launch["steepest_climb_rad"])
    state = {"height_m": 0.0, **flight.start}

    def climb(speed: float) -> float:
        thrust = flight.point(60.0, {**state, "airspeed_m_s": speed}, powered=True)["thrust_N"]
        pressure, sine = 0.5 * density * speed**2, 0.0
        for _ in range(12):
            lift = min(weight * math.sqrt(1.0 - sine**2), flight.highest_lift_N(pressure, speed))
            drag = flight.drag_N(lift, pressure, speed, folded=False)
            sine = min(max((thrust - drag) / weight, -1.0), steepest)
        return speed * sine

    stall = 6.0
    for _ in range(12):
        stall *= math.sqrt(weight / flight.highest_lift_N(0.5 * density * stall**2, stall))
    assert area > 0.0
    grid = np.linspace(1.02 * stall, 3.5 * stall, 12)
    best = int(np.argmax([climb(float(speed)) for speed in grid]))
    left, right = float(grid[max(best - 1, 0)]), float(grid[min(best + 1, 11)])
    golden = 0.5 * (math.sqrt(5.0) - 1.0)
    for _ in range(12):
        one, other = right - golden * (right - left), left + golden * (right - left)
        left, right = (left, other) if climb(one) > climb(other) else (one, right)
    return 0.5 * (left + right)


def main() -> dict[str, float]:
    """Measure both sides, print and return times, ratio and memory."""
    given = [word for word in sys.argv[1:] if word.isdigit()]
    sets = int(given[0]) if given else SETS
    model, rule = model_and_class(Path(str(packaged("demo", "hill-demo"))))
    small = ChooseRequest(model=model, rule=rule, goals=GOALS, buy=1)
    choose.run(small)  # the kernels are compiled or loaded
    request = small.model_copy(update={"parts": made_parts(sets), "buy": None, "simulated": BEST})
    result, times = searched(request)
    memory_MB = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
    each_s, worst, flown = looped(Question.of(request, correction_of(model)))
    loop_s = each_s * result.sets
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else math.nan
    places = f"{result.combinations:,d} combinations with every place"
    print(f"sets of parts          {result.sets:12,d}     {places}")
    print(f"kept at the middle     {result.kept_sets:12,d}     {result.simulated:,d} looked at with spread")
    print(f"nothing beats          {len(result.choices):12,d}     {result.open_sets:,d} left open")
    print(f"first answer           {times['first_s']:12.1f} s   (wanted: below {FIRST_s:g} s)")
    print(f"screened               {times['screened_s']:12.1f} s")
    print(f"all                    {times['all_s']:12.1f} s   (wanted: below {WANTED_s:g} s on two cores)")
    print(f"processor time         {times['cpu_s']:12.1f} s   load of the machine {load:.1f}")
    print(f"peak memory            {memory_MB:12.0f} MB  (wanted: below {WANTED_MB:g} MB)")
    print(f"plain loop, all sets   {loop_s:12.1e} s   from {LOOPED} sets, {flown} of them flown once")
    print(f"ratio                  {loop_s / times['all_s']:12.0f}")
    print(f"worst height apart     {worst:12.1e}")
    ratio = loop_s / times["all_s"]
    return {
        **times,
        "memory_MB": memory_MB,
        "loop_s": loop_s,
        "ratio": ratio,
        "worst": worst,
        "sets": float(result.sets),
    }


def measured() -> Sequence[Measured]:
    """The figures of the report."""
    found = main()
    name = f"{found['sets']:,.0f} sets of parts, the best {BEST} flown with spread"
    of = f"plain Python and solve_ivp, from {LOOPED} sets"
    agree = f"heights of both within {found['worst']:.0e}"
    memory, size = found["memory_MB"], round(found["sets"])
    return [
        Measured(
            name, found["all_s"], "s", found["loop_s"], of, WANTED_s, memory_MB=memory, note=agree, size=size
        ),
        Measured("first answer of that search", found["first_s"], "s", goal=FIRST_s),
    ]


if __name__ == "__main__":
    finish(measured)
