"""``balance`` on the packaged demo, from the command line to the three kinds of output."""

import json
import shutil
from pathlib import Path

import pytest

from glidewright.data import packaged
from glidewright.faces.cli.main import main


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("demo") / "hill"
    shutil.copytree(str(packaged("demo", "hill-demo")), target)
    return target


def test_text_and_page(demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    page = tmp_path / "balance.html"
    assert main(["balance", str(demo), "--html", str(page)]) == 1  # nose-heavy on purpose
    text = capsys.readouterr().out
    assert text.startswith("Balance of Hill Demo")
    for heading in (
        "Ways into the range",
        "How the forecast moved",
        "What one gram does where",
        "Left against",
    ):
        assert heading in text
    assert max(map(len, text.splitlines())) <= max(80, len(f"Page written: {page}"))
    written = page.read_text(encoding="utf-8")
    assert "http" not in written
    assert "Centre of gravity after each weighing" in written
    assert '<svg class="drawing"' in written


def test_json_is_one_object_and_nothing_else(demo: Path, capfd: pytest.CaptureFixture[str]) -> None:
    assert main(["balance", str(demo), "--json"]) == 1
    body = json.loads(capfd.readouterr().out)  # the solver is compiled: what it prints is seen here too
    assert body["command"] == "balance"
    assert body["findings"][0]["name"] == "balance"
    assert len(body["result"]["search"]["alternatives"]) >= 5


def test_a_balanced_model_leaves_with_nothing_to_do(demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = demo.parent / "wide"
    shutil.copytree(demo, folder)
    file = folder / "model.toml"
    stated = file.read_text(encoding="utf-8").replace("balance_front_x_mm = 64", "balance_front_x_mm = 40")
    file.write_text(stated, encoding="utf-8")
    assert main(["balance", str(folder), "--money", "1", "--hour", "10"]) == 0
    text = capsys.readouterr().out
    assert "It needs no change for its balance" in text
    assert "none - it stays as it is" in text
    assert "1. Leave it as it is" in text


def test_a_range_that_excludes_everything_names_the_nearest_miss(
    demo: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = demo.parent / "far"
    shutil.copytree(demo, folder)
    file = folder / "model.toml"
    text = file.read_text(encoding="utf-8")
    text = text.replace("balance_front_x_mm = 64", "balance_front_x_mm = 390")
    file.write_text(text.replace("balance_rear_x_mm = 79", "balance_rear_x_mm = 400"), encoding="utf-8")
    assert main(["balance", str(folder)]) == 1
    said = capsys.readouterr().out
    assert "no combination reaches the range; the nearest one stays" in said
    assert "Nearest miss" in said


def test_first_parts_are_counted_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "model.toml").write_text(
        """schema = 1
name = "First parts"
[airframe]
span_m = 2
wing_area_dm2 = 36
balance_front_x_mm = 64
balance_rear_x_mm = 79
[[item]]
id = "pod"
group = "fuselage"
mass_g = 60
x_mm = -56
[[item]]
id = "boom"
group = "fuselage"
x_mm = 400
""",
        encoding="utf-8",
    )
    assert main(["balance", str(tmp_path)]) == 1
    text = " ".join(capsys.readouterr().out.split())
    assert "1 of 2 fitted items have a mass and a place" in text
    # by hand: 60 g * 120 mm / 336 mm = 21.4 g and 60 g * 135 mm / 321 mm = 25.2 g of boom
    assert "21.4 to 25.2 g there" in text


@pytest.mark.parametrize("wrong", [["--chance", "120"], ["--money", "-1"], ["--hour", "x"]])
def test_options_out_of_range_are_refused(
    demo: Path, wrong: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["balance", str(demo), *wrong]) == 2
    assert wrong[0] in capsys.readouterr().err
