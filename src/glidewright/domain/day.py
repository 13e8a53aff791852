"""A day as files and commands write it: year-month-day, so that days in order of their texts are in order."""

from datetime import date
from typing import Annotated, Any

from pydantic import AfterValidator

from glidewright.base.errors import InputError
from glidewright.base.fields import plain


def is_day(text: str) -> bool:
    """Whether a text is a day of the calendar, written with all its digits and dashes.

    >>> is_day("2026-05-31"), is_day("20260531"), is_day("2026-02-30"), is_day("")
    (True, False, False, False)
    """
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def day_of(text: str, where: str) -> date | None:
    """The day of a text, none for an empty one; where: what it was given for, as a message names it.

    Raises InputError for what is no day, or not written in full.

    >>> day_of("2026-05-31", "--by"), day_of("", "--by")
    (datetime.date(2026, 5, 31), None)
    """
    if not text:
        return None
    if not is_day(text):
        came = f"{text[:40]!r} came; write 2026-05-31"
        raise InputError.at(where, f"must be a day written year-month-day; {came}")
    return date.fromisoformat(text)


def _a_day(text: str) -> str:
    if not is_day(text):
        raise ValueError("must be a day written year-month-day, as in 2026-05-31")
    return text


def _a_day_or_empty(text: str) -> str:
    return _a_day(text) if text else text


Day = Annotated[str, AfterValidator(_a_day)]
DayIfKnown = Annotated[str, AfterValidator(_a_day_or_empty)]


def day_if_known() -> Any:
    """The field of a day that may be left out; its type is ``DayIfKnown``."""
    return plain("Date", help="year-month-day", default="")
