"""Finding: one limit, how likely the model keeps it, and why."""

from typing import Any, Literal

from glidewright.base.fields import Noun
from glidewright.base.figure import Figure

Kind = Literal["class", "part", "field"]
Severity = Literal["kept", "doubtful", "broken", "unknown"]

CHANCE_NEEDED = 0.9
"""Share of the draws that keeps a limit which has no word of its own on that; our judgement."""
BROKEN_BELOW = 0.5
"""Below this chance a limit counts as broken rather than doubtful; our judgement."""


class Finding(Noun):
    """The answer on one limit.

    kept: True, False, or None while doubtful or unknown; chance: share of the draws that keep it, None
    when unknown; value: what was found, SI; limit: in words; at_least, at_most: the bounds, SI; because:
    the whole sentence; remark: what of it stands neither in the numbers nor in the cause of the spread.
    """

    name: str
    title: str
    kind: Kind
    severity: Severity
    kept: bool | None
    chance: float | None
    value: Figure
    limit: str
    at_least: float | None = None
    at_most: float | None = None
    unit: str
    shown: str
    because: str
    remark: str = ""
    consequence: str = ""
    source: str = ""
    note: str = ""

    @property
    def is_certain(self) -> bool:
        """Whether the chance was not counted from draws that differ."""
        return is_without_spread(self.value)

    def contract(self) -> dict[str, Any]:
        """The JSON of a finding; numbers in SI, ``unit`` names it, the limit always has the same shape."""
        return {
            "name": self.name,
            "kept": self.kept,
            "chance": self.chance,
            "value": self.value.value,
            "limit": {"text": self.limit, "at_least": self.at_least, "at_most": self.at_most},
            "unit": self.unit,
            "because": self.because,
        }


def judged(
    name: str,
    title: str,
    value: Figure,
    chance: float | None,
    *,
    limit: str,
    because: str,
    needed: float = CHANCE_NEEDED,
    kind: Kind = "part",
    at_least: float | None = None,
    at_most: float | None = None,
    remark: str = "",
    consequence: str = "",
    source: str = "",
    note: str = "",
) -> Finding:
    """The finding on a limit from the chance of keeping it; the units are those of the value.

    chance: None where nobody knows it; needed: from which chance on the limit counts as kept; the rest as in
    the noun.
    """
    kept, severity = verdict(chance, needed)
    return Finding(
        name=name,
        title=title,
        kind=kind,
        severity=severity,
        kept=kept,
        chance=chance,
        value=value,
        limit=limit,
        at_least=at_least,
        at_most=at_most,
        unit=value.unit,
        shown=value.shown,
        because=because,
        remark=remark,
        consequence=consequence,
        source=source,
        note=note,
    )


def is_without_spread(figure: Figure) -> bool:
    """Whether a figure is one number, or none at all.

    >>> is_without_spread(Figure.exact(2.0, "m", "m", "measured", "ruler"))
    True
    """
    return figure.low == figure.high


def verdict(chance: float | None, needed: float) -> tuple[bool | None, Severity]:
    """Kept or not, and the word for it, from a chance.

    >>> verdict(0.95, 0.9), verdict(0.7, 0.9), verdict(0.2, 0.9), verdict(None, 0.9)
    ((True, 'kept'), (None, 'doubtful'), (False, 'broken'), (None, 'unknown'))
    """
    if chance is None:
        return None, "unknown"
    if chance >= needed:
        return True, "kept"
    return (False, "broken") if chance < BROKEN_BELOW else (None, "doubtful")
