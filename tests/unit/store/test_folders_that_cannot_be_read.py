"""A folder inside a model folder that cannot be looked into: said, and never taken for an empty one."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from glidewright.base.errors import InputError
from glidewright.store.channel_maps import read_maps
from glidewright.store.corrections import read_learned
from glidewright.store.raw_logs import kept_raws
from glidewright.store.variants import list_variants

READERS: dict[str, tuple[str, Callable[[Path], object]]] = {
    "logs": ("flights", kept_raws),
    "what was learned": ("flights", read_learned),
    "channel maps": ("flights/maps", read_maps),
    "variants": ("variants", list_variants),
}


@pytest.fixture
def locked(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(self: Path) -> Iterator[Path]:
        raise PermissionError(13, "Permission denied", str(self))

    monkeypatch.setattr(Path, "iterdir", refuse)


@pytest.mark.parametrize("what", READERS)
@pytest.mark.usefixtures("locked")
def test_it_is_said(tmp_path: Path, what: str) -> None:
    name, read = READERS[what]
    (tmp_path / name).mkdir(parents=True)
    with pytest.raises(InputError) as refused:
        read(tmp_path)
    sentence = f"{name}: must be readable; reading it is not allowed; change its permissions"
    assert str(refused.value) == sentence


@pytest.mark.parametrize("what", READERS)
def test_one_that_is_not_there_is_empty(tmp_path: Path, what: str) -> None:
    assert not READERS[what][1](tmp_path)


@pytest.mark.parametrize("what", READERS)
def test_a_file_in_its_place_is_none(tmp_path: Path, what: str) -> None:
    name, read = READERS[what]
    (tmp_path / name).parent.mkdir(exist_ok=True)
    (tmp_path / name).write_text("")
    assert not read(tmp_path)
