"""Published and hand-computed numbers of controls: linkage, flaps, columns."""

import math

import numpy as np
import pytest
from outside import held, held_all

from glidewright.models.aero.shape import flap_lift_share, flap_moment_slope
from glidewright.models.control.fourbar import Linkage, position
from glidewright.models.control.hinge import HingeSlopes, blade_moment_Nm, flap_hinge_slopes, flap_moment_Nm
from glidewright.models.control.rod import buckling_force_N, second_moment_m4
from glidewright.models.control.servo import spline_step_rad

# Thin-aerofoil theory by numerical integration of the pressure over the flap, computed outside of this code:
# share of the chord, lift share, moment slope about the quarter chord, hinge slopes with alpha and with flap.
THIN_FLAPS = (
    (0.10, 0.3958, -0.5400, -0.3449, -0.8842),
    (0.15, 0.4805, -0.6070, -0.4273, -0.9031),
    (0.20, 0.5498, -0.6400, -0.4994, -0.9229),
    (0.25, 0.6090, -0.6495, -0.5653, -0.9436),
    (0.30, 0.6607, -0.6416, -0.6274, -0.9654),
    (0.35, 0.7067, -0.6201, -0.6869, -0.9884),
    (0.40, 0.7478, -0.5879, -0.7448, -1.0127),
    (0.50, 0.8183, -0.5000, -0.8584, -1.0658),
    (0.60, 0.8760, -0.3919, -0.9727, -1.1266),
)


def test_plain_flaps_of_thin_aerofoil_theory() -> None:
    shares, lift, moment, alpha, deflection = np.array(THIN_FLAPS).T
    slopes = [flap_hinge_slopes(share) for share in shares]
    table = {
        "source": "thin-aerofoil theory, pressure integrated outside of this program",
        "because": "digits of the table and steps of its sums",
        "rel": 0.005,
    }
    held_all("share of lift, flaps of 10 to 60 %", map(flap_lift_share, shares), lift, **table)
    table["unit"] = "1/rad"
    held_all("moment slope, flaps of 10 to 60 %", map(flap_moment_slope, shares), moment, **table)
    found = [one.alpha for one in slopes]
    held_all("hinge slope with angle of attack, flaps of 10 to 60 %", found, alpha, **table)
    found = [one.deflection for one in slopes]
    held_all("hinge slope with deflection, flaps of 10 to 60 %", found, deflection, **table)


def test_hinge_slopes_by_integrating_the_pressure_over_the_flap() -> None:
    """Glauert's pressure of a flapped thin aerofoil, R&M 1095, summed up without any closed form."""
    share = 0.35
    hinge = math.acos(1.0 - 2.0 * (1.0 - share))
    edge = np.linspace(hinge, math.pi, 40_001)
    theta = 0.5 * (edge[1:] + edge[:-1])  # the pressure has its logarithm at the hinge itself
    lever = 0.5 * (math.cos(hinge) - np.cos(theta))  # behind the hinge, in chords
    width = 0.5 * np.sin(theta) * np.diff(edge)
    angle = 4.0 * (1.0 + np.cos(theta)) / np.sin(theta)
    first = (math.pi - hinge) / math.pi
    log = np.log(np.abs(np.sin(0.5 * (theta + hinge)) / np.sin(0.5 * (theta - hinge))))
    flap = first * angle + 4.0 / math.pi * log
    slopes = flap_hinge_slopes(share)
    by_angle, by_flap = (-float((load * lever * width).sum()) / share**2 for load in (angle, flap))
    summed = {
        "source": "pressure of Glauert's flapped thin aerofoil, R&M 1095, summed up by numpy",
        "because": "40 000 steps up to a logarithm at the hinge",
        "rel": 1e-4,
        "unit": "1/rad",
    }
    held("hinge slope with angle of attack, flap of 35 %, summed", slopes.alpha, by_angle, **summed)
    held("hinge slope with deflection, flap of 35 %, summed", slopes.deflection, by_flap, **summed)


def freudenstein(crank: float, coupler: float, rocker: float, ground: float, angle: float) -> float:
    """Rocker angle of the open plane four-bar, Norton, Design of Machinery, equations 4.8 to 4.10."""
    k1, k2 = ground / crank, ground / rocker
    k3 = (crank**2 - coupler**2 + rocker**2 + ground**2) / (2.0 * crank * rocker)
    a = math.cos(angle) - k1 - k2 * math.cos(angle) + k3
    b, c = -2.0 * math.sin(angle), k1 - (k2 + 1.0) * math.cos(angle) + k3
    return 2.0 * math.atan2(-b - math.sqrt(b * b - 4.0 * a * c), 2.0 * a)


def test_freudenstein_gives_the_textbook_angle() -> None:
    """Norton, Design of Machinery, example 4-1: links 40, 120, 80, 100 mm at 40 degrees: 57.3 degrees."""
    angle = freudenstein(40.0, 120.0, 80.0, 100.0, math.radians(40.0))
    assert math.degrees(angle) % 360.0 == pytest.approx(57.3, abs=0.05)


@pytest.mark.parametrize("degrees", [20.0, 30.0, 55.0, 80.0, 100.0])
def test_the_plane_four_bar_is_freudensteins(degrees: float) -> None:
    """The same chain told as servo arm 40, rod 120, horn 80 mm, rigged with the crank at 40 degrees."""
    crank, coupler, rocker, ground, start = 40.0, 120.0, 80.0, 100.0, math.radians(40.0)
    out = freudenstein(crank, coupler, rocker, ground, start)
    hole = crank * np.array([math.cos(start), math.sin(start)])
    end = np.array([ground, 0.0]) + rocker * np.array([math.cos(out), math.sin(out)])
    rod = (end - hole) / coupler
    square = np.array([-rod[1], rod[0]])
    arm, horn = hole, end - np.array([ground, 0.0])
    link = Linkage(
        arm_m=crank / 1e3,
        horn_m=float(horn @ square) / 1e3,
        rod_m=coupler / 1e3,
        horn_ahead_m=-float(horn @ rod) / 1e3,
        arm_angle_rad=math.atan2(float(arm @ rod), float(arm @ square)),
    )
    # the textbook counts angles against the clock, ours push the rod: the other way round
    servo = start - math.radians(degrees)
    wanted = out - freudenstein(crank, coupler, rocker, ground, math.radians(degrees))
    found = float(position(link, servo).deflection_rad)
    held(
        f"surface of the same chain, crank at {degrees:g} degrees",
        found,
        math.remainder(wanted, 2.0 * math.pi),
        abs=1e-9,
        unit="rad",
        source="Freudenstein's equation, Norton, Design of Machinery, 4.8 to 4.10",
        because="a closed form against another: rounding",
    )


def test_the_column_of_the_textbook() -> None:
    """Beer and Johnston, Mechanics of Materials, example 10.1: pine column, 2 m, 100 kN, factor 2.5.

    E = 13 GPa and a square of 98.3 mm carry 250 kN before they bow out.
    """
    second = 0.0983**4 / 12.0
    held(
        "load that a pine column bows out under",
        float(buckling_force_N(13.0e9, second, 2.0)),
        250e3,
        rel=4.0 * 0.05 / 98.3,
        unit="N",
        source="Beer and Johnston, Mechanics of Materials, example 10.1",
        because="half of the last digit of the printed side of the square, to the fourth power",
    )


def test_a_rod_of_the_handbook() -> None:
    """Round steel rod, half an inch by five feet, 29e6 psi: pi^3 E d^4 / (64 L^2) = 244 lb by hand."""
    inch, pound, psi = 0.0254, 4.4482216, 6894.757
    force = float(buckling_force_N(29e6 * psi, second_moment_m4(0.5 * inch), 60.0 * inch))
    by_hand = math.pi**3 * 29e6 * 0.5**4 / (64.0 * 3600.0)
    euler = "Euler's column by hand in inches and pounds, pi^3 E d^4 / (64 L^2)"
    rod = "load that a steel rod bows out under, 0.5 by 60 in"
    held(rod, force / pound, by_hand, rel=1e-6, unit="lb", source=euler, because="seven digits of the units")
    assert force / pound == pytest.approx(244.0, rel=0.005)


@pytest.mark.parametrize(
    ("speed", "elevator", "rudder", "spoiler"),
    [(12, 0.16, 0.5, 0.2), (20, 0.45, 1.4, 0.56), (25, 0.70, 2.2, 0.88)],
)
def test_hinge_moments_of_the_trade(speed: float, elevator: float, rudder: float, spoiler: float) -> None:
    """The trade's own arithmetic in kg cm: plain surfaces with 0.6 a radian, blades with 1.2; no source.

    Elevator 45 x 420 mm at 20 degrees, rudder 90 x 220 mm at 30 degrees, two blades 25 x 300 mm upright.
    """
    pressure, kg_cm, slopes = 0.6125 * speed**2, 0.0980665, HingeSlopes(0.0, -0.6)

    def flap(chord: float, span: float, degrees: float) -> float:
        return -float(flap_moment_Nm(chord**2 * span, slopes, math.radians(degrees), 0.0, pressure)) / kg_cm

    trade = {
        "source": "arithmetic of the trade, no source: 0.6 a radian for surfaces, 1.2 for blades",
        "because": "half of the last printed digit, and a fifth of that on top",
        "unit": "kg cm",
    }
    found = flap(0.045, 0.42, 20.0)
    held(f"hinge moment of an elevator at {speed} m/s", found, elevator, abs=0.006, **trade)
    found = flap(0.090, 0.22, 30.0)
    held(f"hinge moment of a rudder at {speed} m/s", found, rudder, abs=0.06, **trade)
    found = float(blade_moment_Nm(0.6, 0.025, 1.2, pressure)) / kg_cm
    held(f"hinge moment of two blades at {speed} m/s", found, spoiler, abs=0.006, **trade)


def test_coarse_splines_need_an_exact_rod() -> None:
    """Common practice: 15 teeth leave the arm up to 12 degrees off the square, 25 teeth 7.2 degrees."""
    for teeth, degrees in ((15, 12.0), (25, 7.2)):
        held(
            f"half a tooth of a spline of {teeth}",
            math.degrees(0.5 * spline_step_rad(teeth)),
            degrees,
            rel=1e-6,
            unit="deg",
            source="common practice: up to 12 and 7.2 degrees off the square",
            because="rounding",
        )
