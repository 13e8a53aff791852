"""What a format is: how to know it, how to read it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from glidewright.domain.channel_map import ChannelMap
from glidewright.domain.flight_record import Samples


@dataclass(frozen=True, eq=False)
class Recording:
    """One stretch of a log as its format states it, before the clock is put in order.

    clock_s: shape (n,), as written: may repeat, run back or be NaN; channels: SI, shape (n,), NaN where
    there is no value; start_utc: time at clock 0, None when not stated; day: of the
    first sample where the log states one without a zone; is_time_of_day: the clock starts
    again at midnight; notes: what was left out so far.
    """

    clock_s: Samples
    channels: Mapping[str, Samples]
    start_utc: datetime | None = None
    day: date | None = None
    is_time_of_day: bool = False
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class LogFormat:
    """One format of flight logs.

    sniff: whether the begin of a text looks like it; read: name of the log, text and confirmed channel maps
    to all recordings, or InputError; propose: name and text to the channel map that the text suggests, None
    for a format that states its channels itself; order: smaller is asked earlier; known_by: what ``sniff``
    looks for, in words; brings: every channel that it may hold, by a name of ``CHANNELS``.
    """

    name: str
    title: str
    order: int
    sniff: Callable[[str], bool]
    read: Callable[[str, str, Sequence[ChannelMap]], list[Recording]]
    propose: Callable[[str, str], ChannelMap] | None = None
    endings: tuple[str, ...] = field(default=())
    known_by: str = field(kw_only=True)
    brings: tuple[str, ...] = field(kw_only=True)
