"""``compare`` from the command line: models and variants as they are named, outputs, and every refusal."""

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from glidewright.data import packaged
from glidewright.decisions import compare
from glidewright.faces.cli import first_run
from glidewright.faces.cli.main import main

Command = Callable[..., tuple[int, str, str]]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    target = tmp_path / "hill"
    shutil.copytree(str(packaged("demo", "hill-demo")), target)
    return target


@pytest.fixture
def command(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Command:
    monkeypatch.setattr(first_run, "must_compile", lambda: False)
    whole = compare.run
    few = lambda request: whole(request.model_copy(update={"draws": 64}))  # noqa: E731 - one word
    monkeypatch.setattr(compare, "run", few)

    def given(*words: object) -> tuple[int, str, str]:
        capsys.readouterr()
        code = main(["compare", *(str(word) for word in words)])
        said = capsys.readouterr()
        return code, said.out, said.err

    return given


def twin(folder: Path, name: str, *changes: tuple[str, str]) -> Path:
    """A copy of the folder under another name with changed words of its model.toml."""
    other = folder.parent / name
    shutil.copytree(folder, other)
    text = (other / "model.toml").read_text(encoding="utf-8")
    for old, new in (('name = "Hill Demo 2000"', f'name = "{name}"'), *changes):
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    (other / "model.toml").write_text(text, encoding="utf-8")
    return other


def test_a_model_alone_is_compared_with_all_its_variants(
    folder: Path, tmp_path: Path, command: Command
) -> None:
    page = tmp_path / "page.html"
    code, out, err = command(folder, "--html", page)
    assert (code, err) == (1, "")  # the demo breaks limits on purpose
    for words in ("Comparison of 3 models", "bigger-pack", "windy-day", "Differences to A", "In short: "):
        assert words in out
    assert max(map(len, out.splitlines())) <= max(80, len(f"Page written: {page}"))
    assert "<svg" in page.read_text(encoding="utf-8")


def test_json_keeps_the_contract(folder: Path, command: Command) -> None:
    code, out, err = command(folder, folder / "variants/bigger-pack.toml", "--json", "--wind", "4")
    body = json.loads(out, parse_constant=lambda name: pytest.fail(f"{name} in the JSON"))
    assert (code, err) == (1, "")
    assert set(body) == {"ok", "command", "model", "result", "findings", "sources", "version"}
    assert (body["ok"], body["command"]) == (True, "compare")
    result = body["result"]
    assert result["headwind_m_s"] == 4.0
    assert [one["letter"] for one in result["models"]] == ["A", "B"]
    assert {row["key"] for row in result["inputs"]} >= {
        "[[fitted]] pack: part",
        "[[fitted]] pack: capacity_mAh",
    }
    lines = {line["name"]: line for line in result["lines"]}
    assert set(lines) >= {
        *("height_true_m", "mean_climb_m_s", "launches", "sink_least_m_s", "glide_ratio_best"),
        *("speed_to_fly_m_s", "sink_into_wind_m_s", "glide_over_ground", "mass_kg", "wing_loading_kg_m2"),
        *("cg_x_m", "chance_balanced", "least_ballast_kg", "cost", "cost_to_buy", "build_time_s", "skill"),
    }
    figure = lines["launches"]["differences"][0]["figure"]
    assert set(figure) == {"value", "unit", "low", "high", "grade", "because"}
    assert figure["value"] > 0
    assert {finding["name"][:2] for finding in body["findings"]} == {"A.", "B."}
    assert len(body["sources"]) == len(set(body["sources"]))


def test_variants_are_named_by_their_name_after_a_model(folder: Path, command: Command) -> None:
    """Of two variants alone, the first is A."""
    _, out, _ = command(folder / "variants/windy-day.toml", "bigger-pack", "--class", "none")
    assert "A  Hill Demo 2000, windy-day" in out
    assert "B  Hill Demo 2000, bigger-pack" in out
    assert "judged by no class" in out


def test_all_are_judged_by_one_class_where_it_is_given(folder: Path, command: Command) -> None:
    other = twin(folder, "Other", ('class = "hill-club-electric"', 'class = "f5j"'))
    _, out, _ = command(folder, other)
    assert "the classes differ" in out.lower()
    _, out, _ = command(folder, other, "--class", "f5j")
    assert "the classes differ" not in out.lower()
    assert "Hill Club" not in out


REFUSED: dict[str, tuple[Callable[[Path], list[object]], tuple[str, ...]]] = {
    "same model twice": (lambda f: [f, f], ("must stand once", "it stands twice")),
    "same model by another way": (lambda f: [f, f.parent / "." / f.name], ("must stand once",)),
    "same variant twice": (
        lambda f: [f, "bigger-pack", f / "variants/bigger-pack.toml"],
        ("must stand once",),
    ),
    "variant of a missing folder": (
        lambda f: [f, f.parent / "nowhere/variants/x.toml"],
        ("nowhere", "must be a model folder; nothing with that name exists"),
    ),
    "variant that is not there": (
        lambda f: [f, f / "variants/biger-pack.toml"],
        ("must have the variant biger-pack", "nearest known: bigger-pack"),
    ),
    "neither folder nor variant": (
        lambda f: [f, "biger-pack"],
        ("biger-pack: must be a model folder or a variant of", "nearest known: bigger-pack"),
    ),
    "missing folder": (lambda f: [f.parent / "nowhere"], ("nowhere", "must be a model folder")),
    "file that is no variant": (lambda f: [f, f / "parts/power.toml"], ("must be a model folder",)),
    "class that is not there": (lambda f: [f, "bigger-pack", "--class", "f5x"], ("f5x",)),
    "rate in other words": (
        lambda f: [f, "bigger-pack", "--rate", "USD:2"],
        ("--rate", "CURRENCY=NUMBER", "USD:2"),
    ),
    "rate that is no number": (lambda f: [f, "bigger-pack", "--rate", "USD=two"], ("CURRENCY=NUMBER",)),
    "rate of nothing": (
        lambda f: [f, "bigger-pack", "--rate", "USD=2"],
        ("--rate USD", "all prices are in EUR, leave it out"),
    ),
    "wind of a storm": (lambda f: [f, "bigger-pack", "--wind", "40"], ("--wind",)),
}


def assert_refused(ran: tuple[int, str, str], *words: str) -> None:
    code, out, err = ran
    assert (code, out) == (2, "")
    assert err.count("\n") == 1, err
    assert err.startswith("glidewright: ")
    assert "Traceback" not in err
    for word in words:
        assert word in err


@pytest.mark.parametrize("case", REFUSED)
def test_what_cannot_be_compared_is_one_sentence(folder: Path, command: Command, case: str) -> None:
    words, said = REFUSED[case]
    assert_refused(command(*words(folder)), *said)
    code, out, err = command(*words(folder), "--json")
    body: Any = json.loads(out)
    assert (code, err, body["ok"], body["command"], len(body["errors"])) == (2, "", False, "compare", 1)


def test_an_overlay_key_that_does_not_exist(folder: Path, command: Command) -> None:
    (folder / "variants/odd.toml").write_text(
        "schema = 1\n[launch]\nclimb_sped_m_per_s = 9\n", encoding="utf-8"
    )
    assert_refused(
        command(folder, "odd"),
        "variants/odd.toml [launch]: climb_sped_m_per_s: is not a key that is known here",
        "nearest known: climb_speed_m_per_s",
    )


def test_a_fault_of_a_variant_of_one_of_two_folders_names_the_folder(folder: Path, command: Command) -> None:
    other = twin(folder, "Other")
    (other / "variants/odd.toml").write_text("schema = 1\n[launch]\nrest_s = -1\n", encoding="utf-8")
    assert_refused(
        command(folder, other / "variants/odd.toml"),
        f"{other}/variants/odd.toml [launch]: rest_s: must be at least 0",
    )


def test_a_model_without_a_class(folder: Path, command: Command) -> None:
    other = twin(folder, "Other", ('class = "hill-club-electric"', 'class = ""'))
    assert_refused(command(folder, other), "Other: class: must be stated", "--class ID", "--class none")
    assert command(folder, other, "--class", "hill-club-electric")[0] == 1


def test_money_without_a_rate(folder: Path, command: Command) -> None:
    other = twin(folder, "Other", ('currency = "EUR"', 'currency = "CHF"'))
    assert_refused(command(folder, other), "prices in CHF", "add --rate CHF=NUMBER")
    _, out, err = command(folder, other, "--rate", "CHF=1.05")
    assert err == ""
    assert "One CHF counts as 1.05 EUR." in out


def test_too_few_and_too_many(folder: Path, command: Command) -> None:
    shutil.rmtree(folder / "variants")
    assert_refused(command(folder), "must be 2 to 6 models or variants; 1 came; name more")
    (folder / "variants").mkdir()
    for number in range(6):
        (folder / f"variants/v{number}.toml").write_text(
            f"schema = 1\n[launch]\nrest_s = {number + 60}\n", encoding="utf-8"
        )
    assert_refused(command(folder), "must be 2 to 6 models or variants; 7 came; name fewer")


def test_a_part_that_no_model_covers(folder: Path, command: Command) -> None:
    (folder / "variants/huge.toml").write_text(
        'schema = 1\n[[fitted]]\nname = "propeller"\npart = "f24x6"\n', encoding="utf-8"
    )
    drawer = folder / "parts/huge.toml"
    drawer.write_text(
        'schema = 1\n[[propeller]]\nid = "f24x6"\ndiameter_in = 24\npitch_in = 6\nmass_g = 60\n',
        encoding="utf-8",
    )
    assert_refused(command(folder, "huge"), "B (Hill Demo 2000, huge), propeller f24x6")
