"""Registries by folder walk: one thing, one file; dropping the file in is the whole registration."""

import importlib
import pkgutil
from collections.abc import Iterable
from types import ModuleType
from typing import TypeVar

T = TypeVar("T")


def modules_below(package: str, path: Iterable[str]) -> list[ModuleType]:
    """All modules directly inside a package, in order of their names."""
    names = sorted(found.name for found in pkgutil.iter_modules(path))
    return [importlib.import_module(f"{package}.{name}") for name in names]


def subclasses_below(package: str, path: Iterable[str], base: type[T]) -> list[type[T]]:
    """All proper subclasses of ``base`` that the modules of a package define, in order of file names."""
    found: list[type[T]] = []
    for module in modules_below(package, path):
        for thing in vars(module).values():
            is_own = isinstance(thing, type) and thing.__module__ == module.__name__
            if is_own and issubclass(thing, base) and thing is not base:
                found.append(thing)
    return found


def objects_below(package: str, path: Iterable[str], name: str, kind: type[T]) -> list[T]:
    """The object called ``name`` of every module of a package; a module without one is a mistake."""
    found: list[T] = []
    for module in modules_below(package, path):
        thing = getattr(module, name, None)
        if not isinstance(thing, kind):
            raise TypeError(f"{module.__name__} must define {name} as a {kind.__name__}")
        found.append(thing)
    return found
