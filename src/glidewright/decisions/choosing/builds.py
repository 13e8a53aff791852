"""Builds: which parts of a drawer can play which role, and the model that a choice of them makes."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeVar

from glidewright.base.errors import InputError, Problem, nearest
from glidewright.base.fields import Noun, plain
from glidewright.base.figure import Given
from glidewright.decisions.balancing.places import body_ends
from glidewright.decisions.changed_model import with_added, with_part
from glidewright.domain.model import Item, Model
from glidewright.domain.parts import Ballast, Controller, Motor, Pack, Part, Propeller, Servo

P = TypeVar("P", bound=Part)

SINGLE: tuple[type[Part], ...] = (Motor, Controller, Pack, Propeller)
_SAME_SIZE_M = 0.0005  # yokes or spinners that differ by less are the same
_SET_MASS_SHARE = 0.15  # half width of the band of a set that nobody weighed together; our judgement


class Build(Noun):
    """A choice of parts, by their ids, and where they lie; a place of None is where the model has it now."""

    motor: str
    controller: str
    pack: str
    propeller: str
    yoke: str = plain(
        "Yoke", help="propeller whose yoke and spinner carry the blades; empty for its own", default=""
    )
    servos: tuple[str, ...] = plain(
        "Servos", help="one id for each servo of the model, in its order", default=()
    )
    motor_x_m: float | None = plain("Motor x", help="moved to; the propeller goes with it", default=None)
    pack_x_m: float | None = plain("Pack x", help="moved to", default=None)
    nose_ballast_kg: float = 0.0
    tail_ballast_kg: float = 0.0


@dataclass(frozen=True)
class ServoGroup:
    """Servo items that hold the same part now, by place among the servos, and what may replace it."""

    places: tuple[int, ...]
    fitted: Servo
    parts: tuple[Servo, ...]


@dataclass(frozen=True)
class Roles:
    """Parts by role, each once; what is on hand comes first, then the order of the drawer.

    propellers: blades with the propeller whose yoke and spinner carry them (the same for its own).
    """

    motors: tuple[Motor, ...]
    controllers: tuple[Controller, ...]
    packs: tuple[Pack, ...]
    propellers: tuple[tuple[Propeller, Propeller], ...]
    servos: tuple[ServoGroup, ...]


def with_more_parts(model: Model, parts: tuple[Part, ...]) -> Model:
    """The model with further parts behind those of its drawer."""
    return model.model_copy(update={"drawer": (*model.drawer, *parts)})


def with_shared_parts(model: Model, parts: tuple[Part, ...]) -> Model:
    """The model with those of further parts that its drawer does not hold yet.

    Raises InputError where a part of the drawer has the id of another further part.
    """
    own = {part.id: part for part in model.drawer}
    clashes = [part for part in parts if part.id in own and own[part.id] != part]
    if clashes:
        raise InputError(
            [
                Problem(
                    f"part {part.id}",
                    f"must have an id of its own; the drawer of {model.name} has another part with it; "
                    "rename one of them",
                )
                for part in clashes
            ]
        )
    return with_more_parts(model, tuple(part for part in parts if part.id not in own))


def roles_of(model: Model) -> Roles:
    """What the drawer and the fitted parts of a model offer for each role; nothing is judged but the kind."""
    propellers = _of_kind(model, Propeller)
    return Roles(
        _of_kind(model, Motor),
        _of_kind(model, Controller),
        _of_kind(model, Pack),
        tuple(_on_yokes(propellers)),
        tuple(_servo_groups(model)),
    )


def _of_kind(model: Model, kind: type[P]) -> tuple[P, ...]:
    found = [part for part in model.drawer if isinstance(part, kind)]
    known = {part.id for part in found}
    found += [part for _, part in model.of_kind(kind) if part.id not in known]
    unique = {part.id: part for part in found}
    return tuple(sorted(unique.values(), key=lambda part: not part.on_hand))


def _on_yokes(propellers: tuple[Propeller, ...]) -> Iterator[tuple[Propeller, Propeller]]:
    """Every propeller on its own yoke, then folding blades on every other size of yoke and spinner."""
    for blades in propellers:
        yield blades, blades
    for blades in propellers:
        sizes = [_yoke_size(blades)]
        for carrier in propellers:
            size = _yoke_size(carrier)
            if not _may_carry(blades, carrier) or any(_is_same(size, own) for own in sizes):
                continue
            sizes.append(size)
            yield blades, carrier


def _yoke_size(propeller: Propeller) -> tuple[float, float]:
    yoke, spinner = propeller.yoke_m, propeller.spinner_diameter_m
    return (0.0 if yoke is None else yoke.value, 0.0 if spinner is None else spinner.value)


def _is_same(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return all(abs(a - b) < _SAME_SIZE_M for a, b in zip(one, other, strict=True))


def _may_carry(blades: Propeller, carrier: Propeller) -> bool:
    """Both fold with as many blades, the carrier's yoke is known, and so is the one of the blades' mark."""
    return (
        blades.folding
        and carrier.folding
        and blades.blades == carrier.blades
        and carrier.yoke_m is not None
        and (blades.yoke_assumed_m is not None or blades.yoke_m is not None)
    )


def on_yoke(blades: Propeller, carrier: Propeller) -> Propeller:
    """Blades on the yoke and spinner of another propeller; nobody weighed that set, so its band is wider."""
    if carrier.id == blades.id:
        return blades
    mass = blades.mass_kg
    if mass is not None:
        half = _SET_MASS_SHARE * mass.value
        because = "blades on the yoke and spinner of another propeller, not weighed together"
        mass = Given(
            value=mass.value, low=mass.value - half, high=mass.value + half, grade="typical", because=because
        )
    return blades.model_copy(
        update={
            "id": f"{blades.id}-on-{carrier.id}",
            "title": f"{blades.name} on the yoke of {carrier.name}",
            "yoke_m": carrier.yoke_m,
            "yoke_assumed_m": blades.yoke_assumed_m or blades.yoke_m,
            "spinner_diameter_m": carrier.spinner_diameter_m,
            "mass_kg": mass,
            "on_hand": blades.on_hand and carrier.on_hand,
        }
    )


def _servo_groups(model: Model) -> Iterator[ServoGroup]:
    fitted = [part for _, part in model.of_kind(Servo)]
    parts = _of_kind(model, Servo)
    for part_id in dict.fromkeys(part.id for part in fitted):
        places = tuple(place for place, part in enumerate(fitted) if part.id == part_id)
        own = fitted[places[0]]
        yield ServoGroup(places, own, tuple(part for part in parts if part.id == own.id or _pulls(part, own)))


def _pulls(part: Servo, old: Servo) -> bool:
    """Whether a servo is known to be no weaker than the fitted one; where that states nothing, any is."""
    if old.torque_Nm is None:
        return True
    return part.torque_Nm is not None and part.torque_Nm.value >= old.torque_Nm.value


def fitted_build(model: Model) -> Build | None:
    """The model as it is, or nothing while its power train is not complete."""
    motor, controller = model.first(Motor), model.first(Controller)
    pack, propeller = model.first(Pack), model.first(Propeller)
    if motor is None or controller is None or pack is None or propeller is None:
        return None
    return Build(
        motor=motor.id,
        controller=controller.id,
        pack=pack.id,
        propeller=propeller.id,
        servos=tuple(part.id for _, part in model.of_kind(Servo)),
    )


def parts_of(model: Model, build: Build) -> tuple[Part, ...]:
    """The parts of a build: motor, controller, pack, propeller, the carrier of its yoke, one for each servo.

    Raises InputError when the drawer has no part with a name of the build.
    """
    names = [build.motor, build.controller, build.pack, build.propeller]
    names += [build.yoke] if build.yoke else []
    return tuple(_named(model, name) for name in (*names, *build.servos))


def to_buy(model: Model, build: Build) -> tuple[Part, ...]:
    """The parts of a build that are not on hand, each as often as it is needed."""
    return tuple(part for part in parts_of(model, build) if not part.on_hand)


def _named(model: Model, part_id: str) -> Part:
    part = model.from_drawer(part_id) or next((i.part for i in model.items if i.part.id == part_id), None)
    if part is None:
        known = [one.id for one in model.drawer]
        raise InputError.at(
            "build", f"must name parts of the drawer; {part_id!r} came; {nearest(part_id, known)}"
        )
    return part


def model_of(model: Model, build: Build) -> Model:
    """The model with the parts of a build in their places and its ballast; weighings as the scale would read.

    Raises InputError when the drawer has no part with a name of the build, or the model no such item.
    """
    propeller = _named(model, build.propeller)
    if build.yoke:
        carrier = _named(model, build.yoke)
        assert isinstance(propeller, Propeller)  # so the roles have it
        assert isinstance(carrier, Propeller)
        propeller = on_yoke(propeller, carrier)
    chosen = (_named(model, build.motor), _named(model, build.controller), _named(model, build.pack))
    moves = dict(zip(SINGLE, (build.motor_x_m, None, build.pack_x_m, None), strict=True))
    moves[Propeller] = _with_motor(model, build)
    changed = model
    for kind, part in zip(SINGLE, (*chosen, propeller), strict=True):
        item = next((own for own, _ in changed.of_kind(kind)), None)
        if item is None:
            raise InputError.at(
                "model.toml", f"must have a {kind.kind} fitted; none is; add it in [[fitted]]"
            )
        changed = _with(changed, item, part, moves[kind])
    for item, part_id in zip([own for own, _ in model.of_kind(Servo)], build.servos, strict=True):
        own = next(one for one in changed.items if one.name == item.name)
        changed = _with(changed, own, _named(model, part_id), None)
    return _with_ballast(changed, build)


def _with(model: Model, item: Item, part: Part, x_m: float | None) -> Model:
    if part.id == item.part.id and x_m is None:
        return model
    axes = {axis: getattr(item.part, axis) for axis in ("x_m", "y_m", "z_m")}
    if x_m is not None:
        axes["x_m"] = Given(value=x_m, grade="measured", because="put there with a ruler")
    return with_part(model, item, part.model_copy(update=axes))


def _with_motor(model: Model, build: Build) -> float | None:
    """Where the propeller goes when the motor is moved: as far as that."""
    motor, propeller = model.first(Motor), model.first(Propeller)
    if build.motor_x_m is None or motor is None or propeller is None:
        return None
    if motor.x_m is None or propeller.x_m is None:
        return None
    return propeller.x_m.value + build.motor_x_m - motor.x_m.value


def _with_ballast(model: Model, build: Build) -> Model:
    """Ballast at the ends of the body."""
    ends = body_ends(model)
    for name, mass_kg, end in (("nose", build.nose_ballast_kg, 0), ("tail", build.tail_ballast_kg, 1)):
        if mass_kg > 0.0 and ends is not None:
            mass = Given(value=mass_kg, grade="measured", because="weighed out")
            place = Given(value=ends[end], grade="measured", because="put exactly there")
            model = with_added(
                model, f"{name} ballast", Ballast(id=f"{name}-ballast", mass_kg=mass, x_m=place)
            )
    return model
