"""What a model has learned from flights, as its folder keeps it: scores, how sure, and what they rest on."""

from typing import ClassVar, Literal

from glidewright.base.fields import Noun, plain


class LearnedInput(Noun):
    """One input that flights taught about, with the spread that it had before.

    value, low, high: of the prior, SI; mean: most likely score; row: of the factor L of the covariance of all
    scores, L L' (so many numbers as there are inputs up to this one).
    """

    table: ClassVar[str] = "learned"

    name: str = plain("Name", help="of the input")
    of: str = plain("Part", help="id of the part that it belongs to; empty for the airframe and the pilot")
    title: str = plain("Title", help="as in reports", default="")
    kind: Literal["factor", "offset"] = plain("Kind", help="how it spreads")
    value: float = plain("Value", help="before, SI")
    low: float = plain("Low", help="before, SI")
    high: float = plain("High", help="before, SI")
    mean: float = plain("Mean", help="most likely score now")
    row: tuple[float, ...] = plain("Row", help="of the factor of the covariance")


class Learned(Noun):
    """Everything that ``corrections.toml`` holds, and which logs came after it.

    logs: names of the files in ``flights/`` that were looked at; bench_sha256: of the bench readings that
    taught with them; newer: files in ``flights/`` that came after it.
    """

    made: str = plain("Made", help="year-month-day", default="")
    flights: int = plain("Flights", help="that taught", default=0)
    launches: int = plain("Launches", help="that taught", default=0)
    bench_sha256: str = plain("Bench", help="hash of the bench readings that taught too", default="")
    logs: tuple[str, ...] = plain("Logs", help="names of the files that were looked at", default=())
    evidence: tuple[str, ...] = plain("Evidence", help="one sentence each", default=())
    inputs: tuple[LearnedInput, ...] = plain("Inputs", help="that were learned about", default=())
    newer: tuple[str, ...] = plain(
        "Newer logs", help="names of the files that have not taught yet", default=()
    )
