"""How a section of the report is made: a key, a place, and a function of the result."""

from collections.abc import Callable
from dataclasses import dataclass

from glidewright.base.registry import objects_below
from glidewright.decisions.nouns import CheckResult
from glidewright.faces.report import sections
from glidewright.faces.report.document import Section


@dataclass(frozen=True)
class SectionOfCheck:
    """One section of the report of ``check``; ``build`` gives nothing where it has nothing to say."""

    order: int
    build: Callable[[CheckResult], Section | None]


def sections_of(result: CheckResult) -> tuple[Section, ...]:
    """All sections that have something to say, in their order."""
    makers = objects_below(sections.__name__, sections.__path__, "SECTION", SectionOfCheck)
    built = [maker.build(result) for maker in sorted(makers, key=lambda maker: maker.order)]
    return tuple(section for section in built if section is not None)
