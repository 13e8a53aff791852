"""``glide`` on the packaged demo, from the command line to the three kinds of output."""

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
    page = tmp_path / "glide.html"
    assert main(["glide", str(demo), "--html", str(page)]) == 0
    text = capsys.readouterr().out
    assert text.startswith("Glide of Hill Demo")
    for words in ("Straight flight", "Speed to fly", "Circling", "What makes the drag", "Is it stable?"):
        assert words in text
    assert "Natural motions" not in text
    assert max(map(len, text.splitlines())) <= max(80, len(f"Page written: {page}"))
    written = page.read_text(encoding="utf-8")
    assert "http" not in written
    for key in ("polar", "elevator", "circling", "drawing"):
        assert f'id="{key}"' in written
    assert written.count('<svg class="drawing"') == 1
    assert "Phugoid" in written or "phugoid" in written


def test_all_tells_motions_and_faults_within_the_width(
    demo: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["glide", str(demo), "--all"]) == 0
    text = capsys.readouterr().out
    for words in (
        "Natural motions",
        "Building faults",
        "Trimmed polar by airspeed",
        "Dutch roll",
        "as above",
    ):
        assert words in text
    assert max(map(len, text.splitlines())) <= 80


def test_json_is_one_object(demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["glide", str(demo), "--json"]) == 0
    body = json.loads(capsys.readouterr().out)
    assert body["command"] == "glide"
    assert body["findings"][0]["name"] == "static_margin"
    result = body["result"]
    assert [row["headwind_m_s"] for row in result["winds"]] == [0.0, 3.0, 6.0]
    assert result["handling"]["modes"][0]["lateral"][1]["name"] == "Dutch roll"
    assert result["polar"]["elevator"]["unit"] == "rad"


def test_a_model_without_a_shape_says_in_a_sentence_what_is_missing(
    demo: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    folder = tmp_path / "bare"
    shutil.copytree(demo, folder)
    file = folder / "model.toml"
    text = file.read_text(encoding="utf-8")
    first, last = text.index("# Keys of [wing]"), text.index("# Keys of [field]")
    file.write_text(text[:first] + text[last:], encoding="utf-8")
    page = tmp_path / "bare.html"
    assert main(["glide", str(folder), "--html", str(page)]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert "at least one [[panel]] of the wing" in told
    assert "Least sink" in told
    assert "drawing" not in page.read_text(encoding="utf-8").split("</style>")[1]


def test_a_model_without_a_mass_is_refused_in_one_sentence(
    demo: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    folder = tmp_path / "empty"
    shutil.copytree(demo, folder)
    file = folder / "model.toml"
    text = file.read_text(encoding="utf-8")
    before, boom, after = text.partition('id = "boom"')
    lines = [line for line in after.splitlines() if line]
    stated = next(line for line in lines if line.startswith("mass_g"))
    file.write_text(before + boom + after.replace(stated, "", 1), encoding="utf-8")
    assert main(["glide", str(folder)]) == 2
    assert capsys.readouterr().err.strip().splitlines()[-1].startswith("glidewright: model.toml")
