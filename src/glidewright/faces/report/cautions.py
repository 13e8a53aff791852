"""Cautions for packs, propellers, people below and airspace: usual care, never a licence to fly.

Common practice of the trade without one authority; each defers to local rules and the maker's sheet.
"""

from collections.abc import Sequence

PACK = (
    "Packs: charge on the right setting, never alone and never in the model, on something that does "
    "not burn; retire a swollen or dented one. "
    "Where your charger's or maker's sheet says otherwise, it is right."
)
PROPELLER = (
    "Propeller: from the moment the pack is plugged in the motor may start. Hold the model behind the wing, "
    "keep hands, sleeves and faces out of the disc and its line, motor locked until you launch, failsafe "
    "set to motor off."
)
PEOPLE = (
    "People: launch, circle and land clear of people, roads and cars; a model of half a kilogram hurts. "
    "Fly a new model first over long grass with a helper, after a range check with the motor running."
)
AIRSPACE = (
    "Airspace: how high and where you may fly depends on country, site and club, and changes. The height "
    "ceiling here is the number in your field table, not the law: check the rules of your authority."
)
MODEL_ONLY = (
    "These figures are predictions from what the model folder states. They replace neither a wattmeter, "
    "a scale and a first flight with care, "
    "nor the judgement of the pilot and of the person who checks the model."
)

GENERAL: tuple[str, ...] = (PACK, PROPELLER, PEOPLE, AIRSPACE, MODEL_ONLY)
POWER: tuple[str, ...] = (PACK, PROPELLER, MODEL_ONLY)
LAUNCH: tuple[str, ...] = (PROPELLER, PEOPLE, AIRSPACE, MODEL_ONLY)


def with_class_note(cautions: Sequence[str], class_title: str, note: str) -> tuple[str, ...]:
    """The cautions, led by the note of the class that was checked.

    >>> with_class_note((PACK,), "Club 2 m", "check the current rules of your body")[0]
    'Rules: Club 2 m as the class file states it; check the current rules of your body.'
    """
    if not class_title:
        return tuple(cautions)
    return (f"Rules: {class_title} as the class file states it; {note}.", *cautions)
