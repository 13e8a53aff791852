"""Plain item: anything with a mass and a place."""

from typing import ClassVar

from glidewright.base.fields import plain

from .part import Group, Part


class PlainItem(Part):
    """A wing panel, a pod, a boom, covering, glue, a lead: mass and place are all that counts."""

    kind: ClassVar[str] = "item"
    kind_title: ClassVar[str] = "Plain item"

    group: Group = plain("Group", help="where it counts in the mass table", default="other")
