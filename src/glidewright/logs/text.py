"""From the bytes of a log to its text, or one sentence why they are none."""

import codecs
import re

from glidewright.base.errors import InputError, Problem
from glidewright.domain.raw_log import RawLog

_ARCHIVES = (
    (b"PK\x03\x04", "zip"),
    (b"PK\x05\x06", "zip"),
    (b"\x1f\x8b", "gzip"),
    (b"7z\xbc\xaf\x27\x1c", "7z"),
    (b"Rar!", "rar"),
    (b"BZh", "bzip2"),
    (b"\xfd7zXZ\x00", "xz"),
    (b"\x28\xb5\x2f\xfd", "zstd"),
)
# signs that no log in text holds: control signs but for tab, line feed, form feed, return and end of file
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0e-\x19\x1b-\x1f]")
_UTF16 = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


def text_of(raw: RawLog) -> tuple[str, tuple[str, ...]]:
    """The text of a log and what had to be taken for granted; InputError for what is no text."""
    data = raw.data
    if not data.strip():
        raise _refused(raw, "must hold a recording; it is empty; export it from the instrument again")
    for sign, kind in _ARCHIVES:
        if data.startswith(sign):
            raise _refused(raw, f"must be the log itself; it is a {kind} archive; unpack it and give the log")
    text, notes = _decoded(raw)
    if _CONTROL.search(text):
        raise _refused(
            raw, "must be text; it holds bytes that no text has; export it as text (CSV), IGC or NMEA"
        )
    return text.rstrip("\x1a"), notes


def _decoded(raw: RawLog) -> tuple[str, tuple[str, ...]]:
    if raw.data.startswith(_UTF16):
        try:
            return raw.data.decode("utf-16"), ()
        except UnicodeDecodeError as error:
            raise _refused(
                raw, "must be text in UTF-8; it begins as UTF-16 and breaks off; export it again"
            ) from error
    try:
        return raw.data.decode("utf-8-sig"), ()
    except UnicodeDecodeError:
        # every byte is a sign in this encoding; degree and micro are where Windows-1252 has them
        return raw.data.decode("latin-1"), ("It is not written in UTF-8 and was read as Latin-1.",)


def _refused(raw: RawLog, message: str) -> InputError:
    return InputError(Problem(raw.name, message))
