"""Further parts files: their parts, their money, and every fault in a sentence."""

from pathlib import Path

import pytest

from glidewright.base.errors import InputError
from glidewright.data import packaged
from glidewright.domain.parts import Motor, Pack
from glidewright.store.parts_files import read_parts_files

PACK = """
[[pack]]
id = "p2-500"
title = "Two cells, 500 mAh"
cells = 2
capacity_mAh = 500
mass_g = 33
price = { value = 10, low = 9, high = 12 }
postage = 5
"""


def written(folder: Path, text: str, name: str = "list.toml") -> Path:
    path = folder / name
    path.write_text("schema = 1\n" + text, encoding="utf-8")
    return path


def refused(paths: list[Path], taken: tuple[str, ...] = (), rates: dict[str, float] | None = None) -> str:
    with pytest.raises(InputError) as caught:
        read_parts_files(paths, "EUR", rates or {}, taken)
    return str(caught.value)


def test_parts_come_in_the_order_of_the_files(tmp_path: Path) -> None:
    one = written(tmp_path, PACK)
    other = written(tmp_path, PACK.replace("p2-500", "p2-480"), "more.toml")
    parts = read_parts_files([one, other], "EUR", {})
    assert [part.id for part in parts] == ["p2-500", "p2-480"]
    assert isinstance(parts[0], Pack)
    assert parts[0].price is not None
    assert (parts[0].price.value, parts[0].price.grade) == (10.0, "quoted")


def test_prices_are_turned_into_the_currency_of_the_model(tmp_path: Path) -> None:
    path = written(tmp_path, 'currency = "USD"\n' + PACK)
    (part,) = read_parts_files([path], "EUR", {"USD": 0.9})
    assert part.price is not None
    assert part.postage is not None
    numbers = (part.price.low, part.price.value, part.price.high)
    assert numbers == pytest.approx((8.1, 9.0, 10.8))  # times 0.9
    assert part.postage.value == pytest.approx(4.5)
    assert part.price.because == "10 USD at 0.9 EUR"
    (same,) = read_parts_files([path], "USD", {})
    assert same.price is not None
    assert same.price.value == 10.0


def test_a_currency_without_a_rate_is_refused(tmp_path: Path) -> None:
    said = refused([written(tmp_path, 'currency = "USD"\n' + PACK)])
    assert "must be EUR, the currency of the model, or have a rate; USD came; add --rate USD=NUMBER" in said
    assert "must be a word such as EUR; 3 came" in refused([written(tmp_path, "currency = 3\n" + PACK)])


def test_every_name_stands_once(tmp_path: Path) -> None:
    one = written(tmp_path, PACK)
    other = written(tmp_path, PACK, "more.toml")
    assert "'p2-500' is in" in refused([one, other])
    assert "'p2-500' is in the drawer already; rename one of them" in refused([one], ("p2-500",))
    assert "must be given once; it came twice" in refused([one, one])


def test_what_cannot_be_read_is_said(tmp_path: Path) -> None:
    assert "must be a parts file; nothing with that name exists" in refused([tmp_path / "nowhere.toml"])
    assert "must be valid TOML" in refused([written(tmp_path, "[[pack]\n")])
    assert "must be a file; a folder came" in refused([tmp_path])
    assert "nearest known: pack" in refused([written(tmp_path, PACK.replace("[[pack]]", "[[pakc]]"))])
    assert "greater than 0" in refused([written(tmp_path, PACK.replace("mass_g = 33", "mass_g = 0"))])


def test_the_invented_catalogue_of_the_demo_is_whole() -> None:
    parts = read_parts_files([Path(str(packaged("demo", "hill-catalogue.toml")))], "EUR", {})
    assert len(parts) == 8
    for part in parts:
        assert part.invented
        assert "invented" in part.source
        assert part.price is not None
        assert part.lead_time_s is not None
        assert not part.on_hand
    assert sum(isinstance(part, Motor) for part in parts) == 3
