"""What ``controls`` answers with: linkages, loads, throws, mixes, the brake, and checks of the build."""

from glidewright.base.fields import Noun, plain
from glidewright.base.figure import Figure
from glidewright.decisions.balancing.nouns import Lateral
from glidewright.decisions.nouns import Answered, GroupMass, Missing, NamedFigure, Series


class WayEnd(Noun):
    """One way of a surface with the servo at its full travel.

    deflection, edge: of the surface and of its trailing edge; ratio: growth of the deflection with the servo
    angle there; rod_angle: between rod and horn, 90 degrees at best; edge is not known without a shape.
    """

    way: str
    servo: Figure
    deflection: Figure
    edge: Figure
    ratio: Figure
    rod_angle: Figure


class LoadRow(Noun):
    """A surface at its full deflection at one airspeed: moment at the hinge, torque at the servo, margin."""

    title: str
    airspeed: Figure
    deflection: Figure
    hinge_moment: Figure
    torque: Figure
    margin: Figure
    current: Figure = plain("Current", help="of the servo that holds it, from the servo supply")


class Rod(Noun):
    """The pushrod: how long, how exact, how stiff."""

    needed: Figure = plain("Needed", help="length from hole to hole, from the places of servo and hinge")
    stated: Figure
    exact: Figure = plain("Exact", help="error of the length that turns the surface by half a degree")
    push: Figure = plain("Push", help="largest force along it, at the dive speed")
    buckles_at: Figure = plain("Buckles at", help="push at which its longest free length buckles")
    margin: Figure
    give: Figure = plain("Give", help="turn of the surface by the stretch of the rod under that force")
    warmth: Figure = plain("Warmth", help="turn of the surface when it gets 10 K warmer")


class ServoChoice(Noun):
    """A servo of the drawer for a surface, the best first."""

    part: str
    title: str
    mass: Figure
    margin: Figure
    chance: float | None = plain("Chance", help="of having the torque margin that flyers keep to")
    tooth: Figure = plain("Tooth", help="turn of the surface for one tooth of its splines")
    on_hand: bool
    is_fitted: bool = plain("Fitted", help="true for the one that the model has")
    because: str


class LinkageAnswer(Noun):
    """One linkage as rigged.

    servo_rad, curve: deflection over servo angle, the first way positive; ways: that way and the other one;
    asymmetry: the larger end over the smaller, less one.
    """

    label: str
    surface: str
    servo: str
    rod_name: str
    push_gives: str = plain("A push gives", help="where the trailing edge goes when the rod is pushed")
    stated_travel: Figure = plain("Stated travel", help="servo angle each way at a travel of 100 %")
    servo_rad: tuple[float, ...]
    curve: Series
    ways: tuple[WayEnd, ...]
    asymmetry: Figure
    per_tooth: Figure = plain("One tooth", help="turn of the surface for one tooth of the splines")
    off_square: Figure = plain("Off square", help="length by which the rod must make good half a tooth")
    per_step: Figure = plain("One step", help="turn of the surface for one step of the transmitter")
    dead_band: Figure = plain(
        "Dead band", help="turn of the surface within which a change of the pulse moves nothing"
    )
    per_mm: Figure = plain("One millimetre", help="turn of the surface when the rod is that much longer")
    play: Figure = plain("Play", help="as it is likely to add up, end to end")
    play_worst: Figure = plain("Worst play", help="all of it to the same side")
    play_edge: Figure = plain("Play at the edge", help="the likely play at the trailing edge")
    play_parts: tuple[NamedFigure, ...] = plain("Play by cause", help="gears, joints, hinge")
    stop_share: Figure = plain("Stop", help="travel at which the surface touches its stop, share of 100 %")
    gap_loss: Figure = plain("Loss by the gap", help="share of its effect that the open hinge gap takes away")
    rod: Rod
    loads: tuple[LoadRow, ...] = plain("Loads", help="at several airspeeds")
    choices: tuple[ServoChoice, ...] = plain("Choices", help="servos of the drawer, the best first")
    notes: tuple[str, ...]


class SupplyAnswer(Noun):
    """Current of all servos and the receiver from the servo supply."""

    limit: Figure = plain("Limit", help="of the supply")
    quiet: Figure = plain("Quiet", help="at rest")
    held: Figure = plain("Held", help="all surfaces held at full deflection at the dive speed")
    blocked: Figure = plain("Blocked", help="all servos blocked at once")
    because: str


class Need(Noun):
    """One thing that a control must be able to do, and the deflection that it asks for."""

    title: str
    deflection: Figure
    edge: Figure


class Throw(Noun):
    """A throw to set: one control, one way.

    deflection, edge: of the full rate; first: share of it for first flights, with its edge; travel: of the
    stated travel, as the linkage gives it; chance: that the linkage reaches it; practice: what flyers use.
    """

    control: str
    way: str = plain("Way", help="which way, in a word")
    deflection: Figure
    edge: Figure
    travel: Figure
    first: float
    first_edge: Figure
    first_travel: Figure
    chance: float | None
    needs: tuple[Need, ...] = plain("Needs", help="what the control must be able to do")
    because: str
    practice: str


class StickCurve(Noun):
    """Exponential of a control: its share, and the travel at stick positions, with what set it."""

    control: str
    share: Figure
    stick: tuple[float, ...] = plain("Stick", help="positions, 1 for full")
    travel: tuple[float, ...] = plain("Travel", help="at these positions, 1 for full")
    because: str


class Mix(Noun):
    """Something that one stick moves on another surface, with how to set it; is_on: whether it is wanted."""

    title: str
    is_on: bool = True
    source: str = plain("Source", help="the stick")
    target: str = plain("Target", help="the surface")
    value: str = plain("Value", help="how to set it, in words")
    because: str
    test: tuple[str, ...] = plain("Test", help="how to see whether it is right, in sentences", default=())


class BrakeStep(Noun):
    """The brake at one share of its travel, at the approach speed.

    compensation: elevator, down positive, that keeps the speed, against the brake closed; travel: the same as
    a share of the stated travel; ratio, slope, sink: of the glide; reach: from ten metres of height.
    """

    share: float
    opening: Figure
    compensation: Figure
    edge: Figure
    travel: Figure
    ratio: Figure
    slope: Figure
    sink: Figure
    reach: Figure


class Mistake(Noun):
    """The brake opened fully by mistake: height until the model is level again, and how fast it gets."""

    title: str
    height: Figure
    fastest: Figure


class BrakeUse(Noun):
    """The brake: approach, pitch change with its compensation, and what a mistake costs."""

    approach_speed: Figure
    stall_open: Figure = plain("Stall, open", help="stalling speed with full brake")
    stall_closed: Figure = plain("Stall, closed", help="stalling speed without brake")
    nose_down: float = plain("Nose down", help="chance that the nose goes down when it opens")
    left_alone: Figure = plain("Left alone", help="airspeed with full brake and the elevator where it was")
    steps: tuple[BrakeStep, ...]
    curve: Series = plain("Curve", help="elevator against brake, both as shares of their travel or angles")
    curve_shares: tuple[float, ...] = plain("Brake", help="shares of its travel at which the steps stand")
    mistakes: tuple[Mistake, ...]
    test_height_m: float = plain("Test height", help="least height for the first test")
    test: tuple[str, ...] = plain("Test", help="in sentences")
    notes: tuple[str, ...]


class AngleCheck(Noun):
    """An angle of the drawing to be measured: from the usual datum of its section, and as chord line.

    height: difference of front and rear edge over the chord; tolerance: what builders hold.
    """

    title: str
    angle: Figure
    chord_line: Figure
    chord_m: float
    height: Figure
    datum: str


class BuildCheck(Noun):
    """One thing to measure with a ruler, what one millimetre of it costs, and what was found.

    size: what one degree of it is; trim: of the control that holds the model straight, for one millimetre;
    found, trim_found: what the folder states and what that asks for; tendency: of the model left alone.
    """

    name: str
    title: str
    how: str
    size_m: float | None
    control: str
    trim: Figure
    edge: Figure = plain("At the edge", help="the same at the trailing edge of that control")
    found: Figure
    trim_found: Figure
    tendency: str


class WeighingStep(Noun):
    """One weighing of the plan: when, what, expected, and when to stop and think.

    limit: above it the part is heavier than nine of ten forecasts; who: reads it, and who reads it again.
    """

    when: str
    what: str
    expected: Figure
    limit: Figure
    who: str
    is_done: bool
    because: str


class MassBudget(Noun):
    """Groups as planned and now, and the weighings in their order."""

    groups: tuple[GroupMass, ...]
    total: Figure
    planned_total: Figure
    steps: tuple[WeighingStep, ...]


class BuildAnswer(Noun):
    """Checks of the finished airframe before anything is trimmed."""

    angles: tuple[AngleCheck, ...] = plain("Angles", help="of wing and tail against the datum")
    decalage: tuple[NamedFigure, ...] = plain("Decalage", help="wing against tail")
    checks: tuple[BuildCheck, ...]
    rudder_sum: Figure = plain("Rudder", help="that all faults found ask for together, right positive")
    elevator_sum: Figure = plain("Elevator", help="that they ask for together, down positive")
    rudder_edge: Figure = plain("Rudder edge", help="the same at the trailing edge")
    elevator_edge: Figure = plain("Elevator edge", help="the same at the trailing edge")
    gaps: tuple[NamedFigure, ...] = plain("Gaps", help="at hinges and joins")
    lateral: Lateral | None
    budget: MassBudget | None = plain("Budget", help="masses as planned and as weighed")


class ControlsResult(Answered):
    """Everything that ``controls`` answers; what is not known says why."""

    invented: bool
    draws: int
    linkages: tuple[LinkageAnswer, ...]
    supply: SupplyAnswer | None
    throws: tuple[Throw, ...]
    curves: tuple[StickCurve, ...]
    mixes: tuple[Mix, ...]
    trim: tuple[NamedFigure, ...]
    brake: BrakeUse | None
    build: BuildAnswer
    why_no_linkages: str
    why_no_throws: str
    why_no_brake: str
    notes: tuple[str, ...]
    missing: tuple[Missing, ...]
