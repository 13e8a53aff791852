"""Channel map: which column of a delimited log is which channel, in which unit.

A map is proposed from the words of the header, shown to the user once, and kept for every log that has
the same header.
"""

import hashlib
from typing import Literal

from pydantic import Field, model_validator

from glidewright.base.errors import nearest
from glidewright.base.fields import Noun, nested, plain
from glidewright.domain.flight_record import CHANNELS
from glidewright.domain.log_units import TIME, unit_words

Delimiter = Literal["comma", "semicolon", "tab"]
DELIMITERS: dict[Delimiter, str] = {"comma": ",", "semicolon": ";", "tab": "\t"}


class MappedColumn(Noun):
    """One column that is read."""

    place: int = Field(title="Place", description="of the column, from 1", ge=1, le=1000, strict=True)
    header: str = plain("Header", help="what the log calls it", default="")
    channel: str = plain("Channel", help="time_s or the name of a channel")
    unit: str = plain("Unit", help="in which the log writes it")
    because: str = plain("Because", help="how it was recognised", default="")

    @model_validator(mode="after")
    def _known(self) -> "MappedColumn":
        if self.channel != TIME and self.channel not in CHANNELS:
            known = [TIME, *CHANNELS]
            raise ValueError(
                f"channel must be one that is known; {self.channel!r} came; {nearest(self.channel, known)}"
            )
        words = unit_words(self.channel)
        if self.unit not in words:
            raise ValueError(f"unit of {self.channel} must be one of {', '.join(words)}; {self.unit!r} came")
        return self


class ChannelMap(Noun):
    """How to read one kind of log; the header says which logs it fits."""

    delimiter: Delimiter = plain("Delimiter", help="between the columns")
    decimal: Literal["point", "comma"] = plain("Decimal sign", help="in the numbers", default="point")
    header: tuple[str, ...] = plain(
        "Header", help="words over the columns, as the log has them; empty when it has none", default=()
    )
    columns: int = Field(title="Columns", description="that the log has", ge=2, le=1000, strict=True)
    column: tuple[MappedColumn, ...] = nested(
        "Columns that are read", noun=MappedColumn, help="clock and channels"
    )
    questions: tuple[str, ...] = plain(
        "Questions", help="what the header leaves open; answer by correcting the map", default=()
    )
    confirmed: bool = plain("Confirmed", help="true when a person has looked at it", default=False)

    @model_validator(mode="after")
    def _whole(self) -> "ChannelMap":
        channels = [one.channel for one in self.column]
        places = [one.place for one in self.column]
        if len(set(channels)) != len(channels) or len(set(places)) != len(places):
            raise ValueError("every channel and every column must be named once")
        if channels.count(TIME) != 1 or len(channels) < 2:
            raise ValueError("there must be one column time_s and at least one channel")
        if max(places) > self.columns:
            raise ValueError(f"place must be at most {self.columns}, the number of columns")
        return self

    @property
    def source(self) -> str:
        """Short name of all logs with this header: the first digits of a hash of header and delimiter."""
        words = "\n".join([self.delimiter, str(self.columns), *self.header])
        return hashlib.sha256(words.encode("utf-8")).hexdigest()[:12]

    def fits(self, other: "ChannelMap") -> bool:
        """Whether both are for the same kind of log."""
        return self.source == other.source
