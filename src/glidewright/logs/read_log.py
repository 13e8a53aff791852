"""The door: a raw log in, its flight records out, or one sentence why not."""

from collections.abc import Sequence
from dataclasses import replace

from glidewright.base.errors import InputError, Problem
from glidewright.domain.channel_map import ChannelMap
from glidewright.domain.flight_record import FlightRecord
from glidewright.domain.raw_log import RawLog

from .finish import records_of
from .formats import FORMATS
from .log_format import LogFormat
from .table_text import table_head
from .text import text_of

_SNIFFED_SIGNS = 65_536


def read_log(raw: RawLog, maps: Sequence[ChannelMap] = ()) -> tuple[FlightRecord, ...]:
    r"""Every flight of a log, in order; nothing or all.

    maps: channel maps that were confirmed; the first one whose header is that of the log is used, else the
    one that the header suggests, and its open questions are among the notes of the record. Raises InputError
    with one sentence for what is no log.

    >>> raw = RawLog.of("a.csv", b"time (s),height (m)\n0,0\n1,2\n2,4\n3,6\n4,8\n")
    >>> [record] = read_log(raw)
    >>> record.format, record.channels["height_m"].tolist()
    ('delimited', [0.0, 2.0, 4.0, 6.0, 8.0])
    """
    text, taken = text_of(raw)
    found = _format_of(raw, text)
    records = records_of(raw, found.name, found.read(raw.name, text, maps))
    return tuple(replace(record, notes=(*taken, *record.notes)) for record in records)


def propose_map(raw: RawLog) -> ChannelMap | None:
    """The channel map that a log suggests, to be shown to the user; None for a format that needs none."""
    text, _ = text_of(raw)
    found = _format_of(raw, text)
    return None if found.propose is None else found.propose(raw.name, text)


def _format_of(raw: RawLog, text: str) -> LogFormat:
    head = text[:_SNIFFED_SIGNS]
    for one in FORMATS:
        if one.sniff(head):
            return one
    # the format that anything may be says best what is missing
    table_head(head, raw.name)
    raise InputError(
        Problem(raw.name, "must be a flight log; it is none; export it from the instrument again")
    )
