"""A synthetic result of ``check``: invented numbers that exercise every block of a report."""

import math
from collections.abc import Callable, Sequence

import pytest

from glidewright.base.figure import Figure, Grade
from glidewright.base.units import unit
from glidewright.decisions.nouns import (
    Change,
    CheckResult,
    GroupMass,
    LaunchAnswer,
    LaunchRow,
    MassAnswer,
    Missing,
    NamedFigure,
    PointAnswer,
    PowerAnswer,
    Series,
    Verdict,
)
from glidewright.faces.report import check
from glidewright.faces.report.document import Document
from glidewright.rules.finding import Finding

WHY = "mostly the motor resistance, typical"


def F(
    value: float, low: float, high: float, shown: str, grade: Grade = "typical", because: str = WHY
) -> Figure:
    u = unit(shown)
    return Figure(
        value=u.to_si(value),
        low=u.to_si(low),
        high=u.to_si(high),
        unit=u.si,
        shown=shown,
        grade=grade,
        because=because,
    )


def N(name: str, title: str, figure: Figure) -> NamedFigure:
    return NamedFigure(name=name, title=title, figure=figure)


def fi(
    name: str,
    title: str,
    severity: str,
    chance: float | None,
    value: Figure,
    limit: float,
    because: str = "",
    consequence: str = "",
) -> Finding:
    return Finding(
        name=name,
        title=title,
        kind="class",
        severity=severity,
        kept={"kept": True, "broken": False}.get(severity),
        chance=chance,
        value=value,
        limit=f"at most {limit:g} {value.shown}".strip(),
        at_most=unit(value.shown).to_si(limit),
        unit=value.unit,
        shown=value.shown,
        because=because,
        remark=because,
        consequence=consequence,
        source="club rules 2024",
    )


def series(
    name: str, title: str, si: str, shown: str, f: Callable[[float], float], x: Sequence[float]
) -> Series:
    v = tuple(f(a) for a in x)
    return Series(
        name=name,
        title=title,
        unit=si,
        shown=shown,
        value=v,
        low=tuple(q * 0.88 for q in v),
        high=tuple(q * 1.1 for q in v),
    )


FINDINGS = (
    fi("span", "Span", "kept", 1.0, F(1.99, 1.99, 1.99, "m", "measured"), 2.0),
    fi("motor_run", "Motor run", "kept", 0.97, F(24.3, 21, 28, "s"), 30),
    fi(
        "climb_rate",
        "Mean climb rate",
        "doubtful",
        0.62,
        F(3.8, 3.2, 4.5, "m/s"),
        4.0,
        "The rate depends mostly on the static current, which nobody measured.",
        "A zero for the flight.",
    ),
    fi(
        "pack_current",
        "Pack current",
        "broken",
        0.08,
        F(24.2, 21.8, 27.1, "A"),
        18,
        "The 11 inch propeller asks more than the pack is good for.",
        "The pack ages fast and may swell.",
    ),
    fi("cells", "Cells in series", "kept", 1.0, Figure.exact(2, "1", "", "measured", ""), 3),
    fi(
        "nose",
        "Nose radius",
        "unknown",
        None,
        Figure.unknown("m", "mm", "no nose radius stated"),
        7.5,
        "nobody stated the nose radius; measure it",
    ),
)
TIMES = tuple(i * 0.25 for i in range(161))
LAUNCH = LaunchAnswer(
    counted="the highest point from motor start to 10 s after motor stop",
    stop="the motor stops at 90 m by the limiter (92 %), after 30 s by the class (8 %)",
    climb_speed=F(7.6, 7.2, 8.0, "m/s"),
    figures=(
        N("height_true_m", "Launch height", F(96.2, 91.1, 101.3, "m")),
        N("mean_climb_m_s", "Mean climb", F(3.8, 3.2, 4.5, "m/s")),
        N("run", "Motor run", F(24.3, 21, 28, "s")),
        N("q", "Charge used", F(72, 64, 83, "mAh")),
        N("t", "Motor case after", F(48, 41, 60, "°C")),
        N("w", "Wind limit", Figure.unknown("m/s", "m/s", "no wind stated in the field table")),
    ),
    times_s=TIMES,
    trace=(
        series(
            "height_m",
            "Height",
            "m",
            "m",
            lambda t: (
                1.8
                + 3.8 * min(t, 24.3)
                + (2.6 * (1 - math.exp(-(t - 24.3) / 1.5)) - 0.4 * (t - 24.3) if t > 24.3 else 0)
            ),
            TIMES,
        ),
        series(
            "pack_current_A", "Pack current", "A", "A", lambda t: (24.2 - 0.1 * t) if t < 24.3 else 0.0, TIMES
        ),
    ),
    rows=tuple(
        LaunchRow(
            number=i,
            height=F(97 - i * (1 if i < 6 else 5), 90 - i * (3 if i < 6 else 6), 102 - i, "m"),
            climb=F(3.8 - 0.12 * i, 3.2 - 0.15 * i, 4.5 - 0.1 * i, "m/s"),
            motor_run=F(24 + i * 0.7, 21 + i * 0.7, 28 + i * 0.7, "s"),
            lowest_cell=F(3.62 - 0.05 * i, 3.5 - 0.06 * i, 3.7 - 0.04 * i, "V"),
            charge_used=F(72, 64, 83, "mAh"),
            charge_left=F(100 - 13 * i, 98 - 14 * i, 100 - 12 * i, "%"),
            motor_temperature=F(48 + i, 41, 60 + i, "°C"),
            pack_temperature=F(30 + i, 28 + i, 34 + i, "°C"),
            useful_chance=max(0, min(1, 1.25 - 0.13 * i)),
        )
        for i in range(1, 8)
    ),
    useful_launches=F(5, 4, 6, ""),
    last_bound_by="the reserve of 20 %",
    air="air at 20 °C, 450 m above sea level, wind 2 m/s",
)
SPEEDS = tuple(float(i) for i in range(0, 17))


def point(t: str, v: Figure, k: float) -> PointAnswer:
    return PointAnswer(
        title=t,
        airspeed=v,
        figures=(
            N("current_A", "Current", F(24.2 * k, 21.8 * k, 27.1 * k, "A")),
            N("v", "Volts at the pack", F(7.1, 6.9, 7.3, "V")),
            N("rpm", "Speed of rotation", F(5967, 5600, 6300, "rpm")),
            N("thrust", "Thrust", F(8.38 * k, 7.6 * k, 9.1 * k, "N")),
            N("shaft", "Shaft power", F(82.5 * k, 75 * k, 90 * k, "W")),
            N("eta", "Motor efficiency", F(68, 63, 72, "%")),
        ),
    )


POWER = PowerAnswer(
    motor="outrunner 28-30 1020",
    controller="controller 30 A",
    pack="2S 550 mAh",
    propeller="11x6 folding",
    propeller_curve="Propeller curve measured for this size.",
    at_rest=point("At rest", F(0, 0, 0, "m/s", "measured"), 1),
    in_climb=point("In the climb", F(7.6, 7.2, 8, "m/s"), 0.86),
    airspeeds_m_s=SPEEDS,
    over_airspeed=(
        series("thrust_N", "Thrust", "N", "N", lambda v: 8.4 - 0.42 * v, SPEEDS),
        series("pack_current_A", "Pack current", "A", "A", lambda v: 24.2 - 0.7 * v, SPEEDS),
        series("revs_per_s", "Speed of rotation", "1/s", "rpm", lambda v: 99.5 + 1.2 * v, SPEEDS),
    ),
    margins=FINDINGS[3:4],
    evidence=("12 May: 7.1 V, 23.8 A, 5900 rpm at rest",),
)
MASS = MassAnswer(
    total=F(588, 574, 603, "g"),
    planned_total=F(571, 540, 602, "g"),
    groups=tuple(
        GroupMass(group=g, items=n, figure=F(v, v * 0.92, v * 1.08, "g"))
        for g, n, v in (
            ("wing", 4, 236),
            ("power", 4, 156),
            ("fuselage", 3, 92),
            ("radio", 5, 58),
            ("tail", 2, 31),
            ("ballast", 1, 15),
        )
    ),
    centre=(
        N("x", "along", F(68, 64, 72, "mm")),
        N("y", "across", F(0.3, -0.5, 1.1, "mm")),
        N("z", "up", F(12, 8, 16, "mm")),
    ),
    planned_centre_x=F(73, 66, 80, "mm"),
    balance_front=F(72, 72, 72, "mm", "quoted", "plan"),
    balance_rear=F(82, 82, 82, "mm", "quoted", "plan"),
    balance_source="plan, sheet 2",
    chance_inside=0.12,
    position_on_chord=F(31, 29, 33, "%"),
    inertia=(N("ix", "roll", F(96, 90, 103, "g·m²")), N("iy", "pitch", F(48, 44, 52, "g·m²"))),
    moved=("Fuselage weighed at 92.4 g: the forecast moved by +6 g and 3 mm aft.",),
    because="mostly the balsa of the wing, guessed",
)
RESULT = CheckResult(
    model="Invented Lark",
    invented=True,
    currency="EUR",
    class_title="Example club electric 2 m",
    class_edition="2024",
    class_note="check the current rules of your body",
    class_open_points=("Two summaries give a target time of 6:00, two of 6:30.",),
    draws=1024,
    verdicts=(
        Verdict(
            question="Is it legal?",
            word="doubtful",
            tone="warning",
            text="5 of 6 limits of the class are kept; the climb rate is kept with a chance of 62 %.",
        ),
        Verdict(
            question="Is everything inside its limits?",
            word="no",
            tone="alarm",
            text="The pack current is over its limit with a chance of 92 %.",
            figure=F(24.2, 21.8, 27.1, "A"),
        ),
        Verdict(
            question="Does it balance?",
            word="nose-heavy",
            tone="alarm",
            text="Centre of gravity in front of the range of 72 to 82 mm with a chance of 88 %.",
            figure=F(68, 64, 72, "mm"),
        ),
        Verdict(
            question="How high does a launch go?",
            word="enough",
            tone="good",
            text="The limiter stops the motor at 90 m in most draws.",
            figure=F(96.2, 91.1, 101.3, "m"),
        ),
        Verdict(
            question="How many launches does a charge give?",
            word="five",
            tone="plain",
            text="The last useful one is bound by the reserve.",
            figure=F(5, 4, 6, ""),
        ),
        Verdict(
            question="What should change first?",
            word="the pack",
            tone="plain",
            text="A pack of 850 mAh on hand brings the current inside its limit.",
        ),
    ),
    findings=FINDINGS,
    mass=MASS,
    power=POWER,
    launch=LAUNCH,
    missing=(
        Missing(
            part="outrunner-28",
            value="winding resistance",
            key="resistance_mohm",
            stand_in=F(62, 48, 80, "mΩ"),
            because="regression",
            narrows="volts, amps and rpm at rest with the propeller on",
        ),
        Missing(
            part="airframe",
            value="nose radius",
            key="nose_radius_mm",
            stand_in=None,
            because="",
            narrows="a radius gauge",
        ),
    ),
    changes=(
        Change(
            title="fit pack 2S 850",
            kind="part",
            effects=("pack current kept with 91 % instead of 8 %", "3 more launches", "mass +18 g"),
            score=2.1,
            cost=F(19.9, 19.9, 19.9, "money", "quoted"),
            ready="on hand",
        ),
        Change(
            title="move the pack 25 mm aft",
            kind="place",
            effects=("centre of gravity inside with 84 %",),
            score=1.4,
        ),
        Change(
            title="hold 8.5 m/s in the climb",
            kind="setting",
            effects=("height +3 m",),
            score=0.8,
        ),
    ),
    measure_next=("volts, amps and rpm at rest",),
    remarks=("Propeller at 6300 rpm is near the end of its measured range; the spread was widened.",),
    sources=("A. Author, data set, 2020",),
    grade="guessed",
)


@pytest.fixture(scope="session")
def result() -> CheckResult:
    return RESULT


@pytest.fixture(scope="session")
def document() -> Document:
    return check.document(RESULT)
