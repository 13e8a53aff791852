"""Raw log: the bytes of one log file as they came, with their hash and a name that is safe to say."""

import hashlib
from dataclasses import dataclass

from glidewright.base.errors import InputError, Problem

LARGEST_LOG_MB = 64
LARGEST_LOG_bytes = LARGEST_LOG_MB * 1024 * 1024
_LONGEST_NAME = 255
_PATH_SIGNS = ("/", "\\", "\0")


@dataclass(frozen=True, eq=False)
class RawLog:
    """One log file: its plain name, its bytes, and their SHA-256 in hexadecimal digits."""

    name: str
    data: bytes
    sha256: str

    @classmethod
    def of(cls, name: str, data: bytes) -> "RawLog":
        """The log of these bytes; InputError when the name is no plain file name or the log too large."""
        name = plain_name(name)
        if len(data) > LARGEST_LOG_bytes:
            raise too_large(name)
        return cls(name, data, hashlib.sha256(data).hexdigest())


def plain_name(name: str) -> str:
    """The name, when it is one of a file and holds no path; InputError otherwise.

    >>> plain_name("sunday 2.csv")
    'sunday 2.csv'
    """
    is_plain = name.strip(" .") != "" and len(name) <= _LONGEST_NAME and name.isprintable()
    if not is_plain or any(sign in name for sign in _PATH_SIGNS):
        raise InputError(
            Problem(
                "log",
                f"its name must be a plain file name without a path; {name[:60]!r} came; rename the file",
            )
        )
    return name


def too_large(name: str) -> InputError:
    """What to say of a log that is larger than any flight."""
    return InputError(
        Problem(
            name,
            f"must be at most {LARGEST_LOG_MB} MB, as a log of many hours is; this file is larger; "
            "cut it into single flights",
        )
    )
