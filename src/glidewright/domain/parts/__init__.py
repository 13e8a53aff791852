"""One part kind a file; each names its fields with unit, range and help."""

from glidewright.base.registry import subclasses_below

from .altimeter import Altimeter
from .ballast import Ballast
from .controller import Controller
from .linkage import Linkage
from .motor import Motor
from .pack import Pack
from .part import Part
from .plain_item import PlainItem
from .propeller import Propeller
from .receiver import Receiver
from .servo import Servo

KINDS: dict[str, type[Part]] = {cls.kind: cls for cls in subclasses_below(__name__, __path__, Part)}

__all__ = [
    "KINDS",
    "Altimeter",
    "Ballast",
    "Controller",
    "Linkage",
    "Motor",
    "Pack",
    "Part",
    "PlainItem",
    "Propeller",
    "Receiver",
    "Servo",
]
