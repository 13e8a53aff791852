"""Where the numbers of the computed flow come from: methods, section polars, tunnels, build-up."""

from collections.abc import Iterator

from glidewright.data import coefficients
from glidewright.domain.airframe import Airframe
from glidewright.domain.field import Field
from glidewright.domain.geometry import Geometry
from glidewright.domain.geometry_checks import stated_sections
from glidewright.forecast.aero_inputs import (
    STATED_DRAG,
    Aero,
    aero_of,
    ceiling_is_computed,
    drag_is_computed,
)
from glidewright.models.aero.glider import TAIL_STAND_IN, WING_STAND_IN
from glidewright.models.aero.section_table import polars_method, section_of

_LATTICE = (
    "J. Katz and A. Plotkin, Low-Speed Aerodynamics, 2nd ed., 2001: vortex lattice, Trefftz plane",
    "B. Etkin and L. D. Reid, Dynamics of Flight, 3rd ed., 1996: axes, neutral point, natural motions",
    "H. Multhopp, NACA TM 1036, 1942: pitching moment of a body in the flow of its wing",
)
_OURS = "our judgement"


def aero_sources(airframe: Airframe, day: Field) -> tuple[str, ...]:
    """Sources of the polar and of stability, each once; the typical polar's where no flow is computed."""
    return tuple(dict.fromkeys(_sources(airframe, day)))


def _sources(airframe: Airframe, day: Field) -> Iterator[str]:
    by_hand: tuple[str, ...] = () if drag_is_computed(airframe, day) else STATED_DRAG
    by_hand += () if ceiling_is_computed(airframe, day) else ("lift_ceiling",)
    if any(getattr(airframe, name) is None for name in by_hand):
        row = coefficients("airframe_typical")
        yield f"polar of a typical model: {row['source']} ({row['where']})"
    if not isinstance(aero_of(airframe, day), Aero) or airframe.geometry is None:
        return
    yield from _LATTICE
    yield from _of_sections(airframe.geometry)
    flap = coefficients("control")["flap_effect"]
    yield f"real flaps: {flap['source']} ({flap['where']})"
    rows = {name: row for name, row in coefficients("airframe_drag").items() if isinstance(row, dict)}
    ours = [name for name, row in rows.items() if str(row["source"]).startswith(_OURS)]
    for name, row in rows.items():
        if name not in ours and not str(row["source"]).startswith("as "):
            yield f"{row['source']} ({row['where']})"
    yield f"{_OURS} (common practice): {', '.join(ours)}"


def _of_sections(geometry: Geometry) -> Iterator[str]:
    names = [name for _, name in stated_sections(geometry)] or [WING_STAND_IN, TAIL_STAND_IN]
    for name in dict.fromkeys(names):
        known = section_of(name, geometry.sections)
        yield f"section {known.title}: {known.source}"
    yield f"section polars: {polars_method()}"
    for name, row in coefficients("lattice_error").items():
        yield f"{name.replace('_', ' ')} of the lattice: {row['source']}; {row['where']}"
    bias = coefficients("section_bias")
    yield f"sections against tunnels: {bias['source']}; {bias['where']}"
