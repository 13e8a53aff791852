"""The formats of flight logs, one a file; a file that defines ``FORMAT`` is registered by being there."""

from glidewright.base.registry import objects_below
from glidewright.logs.log_format import LogFormat

FORMATS: tuple[LogFormat, ...] = tuple(
    sorted(objects_below(__name__, __path__, "FORMAT", LogFormat), key=lambda one: one.order)
)
