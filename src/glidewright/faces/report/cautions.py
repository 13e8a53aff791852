"""Cautions for packs, propellers, people below and airspace: usual care, never a licence to fly.

Common practice of the trade without one authority; each defers to local rules and the maker's sheet.
"""

from collections.abc import Sequence

from glidewright.faces.report.document import Caution

PACK = Caution(
    "Packs: charge attended, outside the model, on something that does not burn.",
    "Charge on the right setting; retire a swollen or dented pack. Where your charger's or maker's sheet "
    "says otherwise, it is right.",
)
PROPELLER = Caution(
    "Propeller: once the pack is plugged in it may start; keep out of its disc.",
    "Hold the model behind the wing, keep hands, sleeves and faces out of the line of the disc too, motor "
    "locked until you launch, failsafe set to motor off.",
)
PEOPLE = Caution(
    "People: launch, circle and land clear of people, roads and cars.",
    "A model of half a kilogram hurts. Fly a new model first over long grass with a helper, after a range "
    "check with the motor running.",
)
AIRSPACE = Caution(
    "Airspace: the ceiling here is your own number; the law of the place counts.",
    "How high and where you may fly depends on country, site and club, and changes: check the rules of "
    "your authority.",
)
MODEL_ONLY = Caution(
    "Prediction: it replaces neither wattmeter and scale nor your judgement.",
    "These figures follow from what the model folder states. The first flight needs care, and the pilot "
    "and whoever checks the model decide.",
)

GENERAL: tuple[Caution, ...] = (PACK, PROPELLER, PEOPLE, AIRSPACE, MODEL_ONLY)
POWER: tuple[Caution, ...] = (PACK, PROPELLER, MODEL_ONLY)
LAUNCH: tuple[Caution, ...] = (PROPELLER, PEOPLE, AIRSPACE, MODEL_ONLY)


def with_class_note(cautions: Sequence[Caution], class_title: str, note: str) -> tuple[Caution, ...]:
    """The cautions, led by the note of the class that was checked.

    >>> with_class_note((PACK,), "Club 2 m", "check the current rules of your body")[0].short
    'Rules: Club 2 m: check the current rules of your body.'
    """
    if not class_title:
        return tuple(cautions)
    return (Caution(f"Rules: {class_title}: {note}."), *cautions)
