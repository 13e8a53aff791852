"""What ``fair`` reads: airframes with their drawers, further parts, the class, and the rule options."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from glidewright.base.errors import InputError
from glidewright.data import packaged
from glidewright.decisions.choosing.builds import with_shared_parts
from glidewright.domain.class_limits import ClassLimits
from glidewright.domain.model import Model
from glidewright.domain.rule_options import RuleOptions
from glidewright.rules.measures import MEASURE_UNITS
from glidewright.store.class_files import read_class
from glidewright.store.parts_files import read_parts_files
from glidewright.store.reading import read_model
from glidewright.store.rule_options import options_beside, read_rule_options

_DEMO = ("demo", "hill-demo")


@dataclass(frozen=True)
class FairInput:
    """All that was read."""

    models: tuple[Model, ...]
    rule: ClassLimits
    options: RuleOptions


def fair_input(
    class_id: str,
    folders: Sequence[Path],
    parts_files: Sequence[Path],
    options_file: Path | None,
    rates: Mapping[str, float] | None = None,
) -> FairInput:
    """Read folders and files; without a folder the demo's.

    The class is looked for in the first folder, then among the packaged ones. Without a file of options, the
    options.toml of the first folder is taken where it is meant for this class. Raises MissingError and
    InputError.
    """
    places = list(folders) or [Path(str(packaged(*_DEMO)))]
    rule = read_class(places[0], class_id, MEASURE_UNITS)
    options = (
        options_beside(places[0], class_id, MEASURE_UNITS)
        if options_file is None
        else _options(class_id, options_file)
    )
    models = [read_model(place) for place in places]
    more = read_parts_files(parts_files, models[0].currency, rates or {})
    return FairInput(tuple(with_shared_parts(model, more) for model in models), rule, options)


def _options(class_id: str, file: Path) -> RuleOptions:
    stated = read_rule_options(file, MEASURE_UNITS)
    if stated.class_id not in ("", class_id):
        raise InputError.at(
            f"{file.name}: class",
            f"must be the class that is asked for; {stated.class_id!r} came for {class_id!r}; "
            "give its own file, or leave class out where the options fit any",
        )
    return stated
