"""corrections.toml and charges.toml: written whole, read back, refused in a sentence."""

from pathlib import Path

import pytest

from glidewright.base.errors import InputError
from glidewright.domain.learned import Learned, LearnedInput
from glidewright.store.charges import read_charges
from glidewright.store.corrections import read_learned, text_of, with_learned, write_learned
from glidewright.store.reading import read_model

PACKS = ("p2-550", "p2-800")


def learned() -> Learned:
    common = {"kind": "factor", "low": 0.9, "value": 1.0, "high": 1.2}
    return Learned(
        made="2025-06-08",
        flights=2,
        launches=3,
        bench_sha256="ab" * 32,
        logs=("a-1.csv", "b-2.igc"),
        evidence=('launch "one" to 118 m',),
        inputs=(
            LearnedInput(name="motor.kv", of="m28", title="Kv", mean=-0.25, row=(0.5,), **common),
            LearnedInput(
                name="pack.capacity", of="p2", title="capacity", mean=1e-7, row=(0.1, 0.9), **common
            ),
        ),
    )


def test_what_is_written_is_read_back(tmp_path: Path) -> None:
    write_learned(tmp_path, learned())
    assert read_learned(tmp_path) == learned()
    assert [path.name for path in tmp_path.iterdir()] == ["corrections.toml"]


def test_a_folder_without_both_has_nothing(tmp_path: Path) -> None:
    assert read_learned(tmp_path) is None


def test_logs_that_came_after_it_are_named(tmp_path: Path) -> None:
    flights = tmp_path / "flights"
    (flights / "maps").mkdir(parents=True)
    (flights / "maps/x.toml").touch()
    (flights / ".hidden").touch()
    for name in ("a-1.csv", "c-3.csv"):
        (flights / name).touch()
    found = read_learned(tmp_path)
    assert found is not None
    assert found.newer == ("a-1.csv", "c-3.csv")
    write_learned(tmp_path, learned())
    again = read_learned(tmp_path)
    assert again is not None
    assert again.newer == ("c-3.csv",)


def test_a_model_is_read_with_it(tmp_path: Path, demo_folder: Path) -> None:
    (tmp_path / "parts").mkdir()
    for name in ("model.toml", "parts/power.toml", "parts/radio.toml"):
        (tmp_path / name).write_bytes((demo_folder / name).read_bytes())
    assert read_model(tmp_path).learned is None
    write_learned(tmp_path, learned())
    assert read_model(tmp_path).learned == learned()
    bare = read_model(demo_folder)
    assert with_learned(bare, demo_folder) is bare


BROKEN = {
    "no TOML": ("schema = 1", "schema = = 1", "valid TOML"),
    "newer": ("schema = 1", "schema = 9", "newer"),
    "no schema": ("schema = 1", "", "schema = 1"),
    "unknown key": ('made = "2025-06-08"', "mode = 1", "delete it"),
    "wrong kind": ("flights = 2", 'flights = "two"', "flights"),
    "row too long": ("row = [0.5]", "row = [0.5, 0.1]", "row of 1 numbers"),
    "no spread": ("row = [0.1, 0.9]", "row = [0.1, 0.0]", "above zero"),
    "out of order": ("low = 0.9", "low = 1.9", "in order"),
}


@pytest.mark.parametrize("case", BROKEN)
def test_what_calibrate_did_not_write_is_refused(tmp_path: Path, case: str) -> None:
    old, new, words = BROKEN[case]
    text = text_of(learned())
    assert old in text
    (tmp_path / "corrections.toml").write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_learned(tmp_path)
    assert len(caught.value.problems) == 1
    assert "corrections.toml" in str(caught.value)
    assert words in str(caught.value)


CHARGES = """schema = 1

[[charge]]
pack = "p2-800"
date = "2025-05-04"
put_back_mAh = 610
resting_before_V = 7.5
resistance_mohm = { value = 41, low = 40, high = 43 }
temperature_C = 20

[[charge]]
pack = "p2-550"
date = "2025-05-03"
note = "forgot to look"
"""


def test_charges_come_in_the_order_of_their_days(tmp_path: Path) -> None:
    assert read_charges(tmp_path, PACKS) == ()
    (tmp_path / "charges.toml").write_text(CHARGES, encoding="utf-8")
    first, second = read_charges(tmp_path, PACKS)
    assert (first.pack, first.put_back_As, first.note) == ("p2-550", None, "forgot to look")
    assert second.put_back_As is not None
    assert second.put_back_As.value == pytest.approx(610 * 3.6)
    assert second.put_back_As.grade == "measured"
    assert second.resistance_ohm is not None
    assert second.resistance_ohm.high == pytest.approx(0.043)


BAD_CHARGES = {
    "strange pack": ('pack = "p2-800"', 'pack = "p2-80"', ("pack", "p2-80", "p2-800")),
    "no day": ('date = "2025-05-04"', 'date = "4 May"', ("date", "4 May")),
    "wrong unit": ("put_back_mAh = 610", "put_back_Ah = 0.61", ("put_back_mAh",)),
    "negative": ("put_back_mAh = 610", "put_back_mAh = -610", ("greater than 0", "-610")),
    "unknown table": ("[[charge]]\npack", "[[charges]]\npack", ("charges", "charge")),
    "single brackets": ("[[charge]]\npack", "[charge]\npack", ("TOML",)),
    "no schema": ("schema = 1\n", "", ("schema = 1",)),
    "not TOML": ("[[charge]]\npack", "[[charge]\npack", ("valid TOML",)),
}


@pytest.mark.parametrize("case", BAD_CHARGES)
def test_bad_charges_are_one_sentence(tmp_path: Path, case: str) -> None:
    old, new, words = BAD_CHARGES[case]
    (tmp_path / "charges.toml").write_text(CHARGES.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_charges(tmp_path, PACKS)
    assert len(caught.value.problems) == 1
    for word in ("charges.toml", *words):
        assert word in str(caught.value)
