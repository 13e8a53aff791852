"""``fair`` from the command line: text, JSON, page and paper, and one sentence for what cannot be used."""

import json
import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from glidewright.faces.cli import first_run
from glidewright.faces.cli.main import main
from glidewright.store.reading import read_model

CLASS = "hill-club-electric"
OPTIONS = """schema = 1
[[option]]
name = "Run 20 s"
motor_run_s = 20
[[option]]
name = "No climb limit"
lift = ["climb_rate"]
"""
KEPT = {"m28-1020", "m28-1350", "c30", "p2-600", "p2-550", "f10x5", "f11x6"}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory, demo_folder: Path) -> Path:
    """The demo with a drawer of eight builds and three options."""
    target = tmp_path_factory.mktemp("fair") / "hill"
    shutil.copytree(demo_folder, target)
    power = target / "parts" / "power.toml"
    head, *tables = re.split(r"(?m)^(?=\[\[)", power.read_text(encoding="utf-8"))
    kept = [table for table in tables if (found := re.search(r'id = "([^"]+)"', table)) and found[1] in KEPT]
    power.write_text(head + "".join(kept), encoding="utf-8")
    (target / "options.toml").write_text(OPTIONS, encoding="utf-8")
    return target


@pytest.fixture
def run(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Callable[..., tuple[int, str, str]]:
    monkeypatch.setattr(first_run, "must_compile", lambda: False)

    def command(*words: object) -> tuple[int, str, str]:
        capsys.readouterr()
        code = main(["fair", *map(str, words)])
        said = capsys.readouterr()
        return code, said.out, said.err

    return command


Run = Callable[..., tuple[int, str, str]]


def quick(folder: Path) -> tuple[object, ...]:
    return (CLASS, "--model", folder, "--draws", "16")


def plain(page: str) -> str:
    return page.replace("\u00a0", " ").replace("&nbsp;", " ")


def test_text_page_and_paper(folder: Path, tmp_path: Path, run: Run) -> None:
    page, paper = tmp_path / "fair.html", tmp_path / "paper.html"
    code, text, err = run(*quick(folder), "--html", page, "--paper", paper)
    assert (code, err) == (0, "")
    assert text.startswith("Fair limits: Hill Club Electric (invented)")
    for words in (
        "The options",
        "Which limit binds whom",
        "Money and parts on hand",
        "What a check can tell",
        "Pilot and limiter",
        "check the current rules of your body",
        "5 m/s for 30 s is 150 m",
        "The committee decides.",
    ):
        assert words in " ".join(text.split())
    assert "Builds that may not start" not in text
    assert max(map(len, text.splitlines())) <= max(80, len(f"Page written: {page}"))
    whole, sheet = page.read_text(encoding="utf-8"), paper.read_text(encoding="utf-8")
    for written in (whole, sheet):
        assert "http" not in written
        assert "check the current rules of your body" in written
    assert 'id="heights"' in whole
    assert "@page { size: A4" in sheet
    assert "<svg" not in sheet.replace('<svg class="swatch"', "")
    for name in ("As it is", "Run 20 s", "No climb limit"):
        assert name in plain(sheet)
        assert name in plain(whole)


def test_all_tells_entries_and_what_takes_builds_out(folder: Path, run: Run) -> None:
    code, text, _ = run(*quick(folder), "--all")
    assert code == 0
    for words in (
        "Builds that may not start",
        "Entries",
        "How it is measured",
        "Wrong verdicts by allowance",
    ):
        assert words in text
    assert max(map(len, text.splitlines())) <= 80


def test_json_is_one_object_with_every_option(folder: Path, run: Run) -> None:
    code, text, _ = run(*quick(folder), "--json")
    body = json.loads(text, parse_constant=lambda name: pytest.fail(f"{name} in the JSON"))
    assert (code, body["ok"], body["command"]) == (0, True, "fair")
    result = body["result"]
    assert [one["name"] for one in result["options"]] == ["As it is", "Run 20 s", "No climb limit"]
    gap = result["options"][0]["gap"]
    assert gap["unit"] == "m"
    assert gap["low"] <= gap["value"] <= gap["high"]
    assert result["unbeaten"]
    again = run(*quick(folder), "--json")[1]
    assert again == text


def test_options_of_the_folder_are_for_their_class_only(folder: Path, run: Run, tmp_path: Path) -> None:
    other = tmp_path / "other"
    shutil.copytree(folder, other)
    text = (folder / "options.toml").read_text(encoding="utf-8")
    (other / "options.toml").write_text(text.replace("schema = 1\n", 'schema = 1\nclass = "f5j"\n'), "utf-8")
    code, said, _ = run(*quick(other), "--json")
    assert code == 0
    # those derived from the class stand in
    assert "Motor run 20 s" in [one["name"] for one in json.loads(said)["result"]["options"]]


def test_further_parts_enter_every_drawer(folder: Path, run: Run, tmp_path: Path) -> None:
    more = tmp_path / "club.toml"
    more.write_text(
        'schema = 1\n[[pack]]\nid = "club-580"\ncells = 2\ncapacity_mAh = 580\nc_rating = 40\nmass_g = 40\n'
        "length_mm = 58\nwidth_mm = 30\nheight_mm = 15\nprice = 12\n",
        encoding="utf-8",
    )
    code, said, _ = run(*quick(folder), "--parts", more, "--json")
    assert code == 0
    result = json.loads(said)["result"]
    assert result["builds"] == 2 * 1 * 3 * 2
    assert "club-580" in [part["id"] for part in result["parts"]]


def test_further_parts_of_elsewhere_need_a_rate_and_an_id_of_their_own(
    folder: Path, run: Run, tmp_path: Path
) -> None:
    more = tmp_path / "shop.toml"
    text = (
        'schema = 1\ncurrency = "CHF"\n[[pack]]\nid = "ID"\ncells = 2\ncapacity_mAh = 580\n'
        "c_rating = 40\nmass_g = 40\nlength_mm = 58\nwidth_mm = 30\nheight_mm = 15\nprice = 12\n"
    )
    more.write_text(text.replace("ID", "shop-580"), encoding="utf-8")
    assert_refused(run(*quick(folder), "--parts", more), "CHF came", "--rate CHF=NUMBER")
    assert_refused(run(*quick(folder), "--parts", more, "--rate", "CHF"), "CURRENCY=NUMBER", "'CHF' came")
    twice = ("--rate", "CHF=1", "--rate", "CHF=2")
    assert_refused(run(*quick(folder), "--parts", more, *twice), "CHF came twice")
    known = next(part.id for part in read_model(folder).drawer if part.kind == "pack")
    more.write_text(text.replace("ID", known), encoding="utf-8")
    assert_refused(
        run(*quick(folder), "--parts", more, "--rate", "CHF=1.05"), f"part {known}", "an id of its own"
    )


def assert_refused(ran: tuple[int, str, str], *words: str) -> None:
    code, out, err = ran
    assert (code, out) == (2, "")
    assert err.startswith("glidewright: ")
    assert err.count("\n") == 1, err
    assert "Traceback" not in err
    for word in words:
        assert word in err, err


def test_bad_input_is_one_sentence(folder: Path, run: Run, tmp_path: Path) -> None:
    model = ("--model", folder)
    assert_refused(run("hill-club-elektric", *model), "nearest known: hill-club-electric")
    assert_refused(run(*quick(tmp_path / "nowhere")), "nowhere")
    assert_refused(run("f3l-res", *model), "must leave the motor some run", "launches by motor")
    short = tmp_path / "short.toml"
    short.write_text('schema = 1\n[[option]]\nname = "Short"\nmotor_run_s = 10\n', encoding="utf-8")
    options = ("--options", short, "--draws", "16")
    assert_refused(run("f5k", *model, *options), "option As it is", "span removes most, 8 of them")
    assert_refused(run(CLASS, *model, "--wrong", "0.5"), "above 0 and below 0.5", "0.5 came")
    assert_refused(run(CLASS, *model, "--wrong", "-0.1"), "above 0 and below 0.5")
    assert_refused(run(CLASS, *model, "--within", "0"), "above 0 and at most 1")
    assert_refused(run(CLASS, *model, "--draws", "100"), "power of two")
    assert_refused(run(CLASS, *model, "--parts", tmp_path / "none.toml"), "must be a parts file")
    assert_refused(run(CLASS, *model, "--options", tmp_path / "none.toml"), "must be a file of rule options")


BAD_OPTIONS = {
    "limit that is none": (
        '[[option.limit]]\nmeasure = "wing_loadin"\nat_most_g_per_dm2 = 20\n',
        ("nearest known: wing_loading",),
    ),
    "lift of no limit": ('lift = ["nose_radius"]\n', ("must name limits that", "'nose_radius' came")),
    "height below 0": ("cut_height_m = -5\n", ("greater than 0", "-5 came")),
    "nothing but a name": ("", ("must change something",)),
    "nobody left": (
        '[[option.limit]]\nmeasure = "propeller_diameter"\nat_most_in = 8\n',
        (
            "none of 8 is left",
            "propeller diameter removes most, 8 of them",
            "nearest is",
            "10 in, at most 8 in",
        ),
    ),
    "bounds the wrong way round": (
        '[[option.limit]]\nmeasure = "mass"\nat_most_g = 300\n',
        ("at least 450 g and at most 300 g came",),
    ),
}


@pytest.mark.parametrize("case", BAD_OPTIONS)
def test_a_bad_option_is_one_sentence(folder: Path, run: Run, tmp_path: Path, case: str) -> None:
    body, words = BAD_OPTIONS[case]
    file = tmp_path / "options.toml"
    file.write_text(f'schema = 1\n[[option]]\nname = "Bad"\n{body}', encoding="utf-8")
    page = tmp_path / "page.html"
    assert_refused(run(*quick(folder), "--options", file, "--html", page), *words)
    assert not page.exists()


def test_options_for_another_class_are_refused_by_name(folder: Path, run: Run, tmp_path: Path) -> None:
    file = tmp_path / "options.toml"
    file.write_text(OPTIONS.replace("schema = 1\n", 'schema = 1\nclass = "f5j"\n'), encoding="utf-8")
    assert_refused(run(*quick(folder), "--options", file), "'f5j' came for 'hill-club-electric'")


def test_an_empty_drawer_says_what_it_lacks(folder: Path, run: Run, tmp_path: Path) -> None:
    bare = tmp_path / "bare"
    shutil.copytree(folder, bare)
    power = bare / "parts" / "power.toml"
    power.write_text('schema = 1\ngrade = "quoted"\n', encoding="utf-8")
    model = bare / "model.toml"
    text = model.read_text(encoding="utf-8")
    for part in ("m28-1020", "f11x6", "c30", "p2-550"):
        text = re.sub(rf'(?s)\[\[fitted\]\]\npart = "{part}"\n.*?(?=\n\[\[|\n# ---)', "", text)
    model.write_text(text, encoding="utf-8")
    assert_refused(run(*quick(bare)), "no motor, no controller, no pack, no propeller")


def test_an_id_for_another_part_is_refused(folder: Path, run: Run, tmp_path: Path) -> None:
    more = tmp_path / "club.toml"
    more.write_text('schema = 1\n[[pack]]\nid = "p2-600"\ncells = 2\ncapacity_mAh = 500\n', encoding="utf-8")
    assert_refused(run(*quick(folder), "--parts", more), "part p2-600", "must have an id of its own")
