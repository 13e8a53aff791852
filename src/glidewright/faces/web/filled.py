"""What a field was filled in with becomes what stands in the file, or the sentence of what is wrong."""

from collections.abc import Mapping
from typing import Any

_TEXTS = ("text", "choice")


def written(kind: str, text: str, grade: str, base_grade: str, details: Mapping[str, str]) -> tuple[Any, str]:
    """The value to be written, None for nothing, and the sentence of what is wrong.

    details: low, high and because as texts; base_grade: the one that bare numbers have at that place.

    >>> written("number", "42,5", "measured", "quoted", {"because": "scale"})
    ({'value': 42.5, 'grade': 'measured', 'because': 'scale'}, '')
    >>> written("number", "forty", "quoted", "quoted", {})[1]
    "must be a number; 'forty' came; write digits, with a point for fractions"
    """
    text = text.strip()
    if kind == "switch":
        return text in ("on", "true"), ""
    if kind == "list":
        return [word.strip() for word in text.split(",") if word.strip()], ""
    if not text or kind in _TEXTS:
        return text or None, ""
    number, problem = _number(text)
    if problem or kind == "count":
        return number, problem
    return _with_details(number, grade if grade != base_grade else "", details)


def _with_details(number: int | float | None, grade: str, details: Mapping[str, str]) -> tuple[Any, str]:
    """A number bare where nothing else is said, else with what is said."""
    told: dict[str, Any] = {"value": number}
    if grade:
        told["grade"] = grade
    for name in ("low", "high"):
        stated = details.get(name, "").strip()
        if stated:
            told[name], problem = _number(stated)
            if problem:
                return None, f"{name} {problem}"
    because = details.get("because", "").strip()
    if because:
        told["because"] = because
    return (number if len(told) == 1 else told), ""


def _number(text: str) -> tuple[int | float | None, str]:
    """Digits as the file writes them; a comma counts as a point."""
    shown = text.replace(",", ".", 1).replace("\u2212", "-")
    try:
        return (int(shown) if shown.lstrip("+-").isdecimal() else float(shown)), ""
    except ValueError:
        return None, f"must be a number; {text[:40]!r} came; write digits, with a point for fractions"
