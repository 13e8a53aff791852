"""The build of the docs finds its makers, runs them in order, and says what failed."""

from pathlib import Path

import pytest

import build

SCRIPT = """import sys
from pathlib import Path
{stated}
with (Path(__file__).parent / "ran.txt").open("a") as file:
    file.write(Path(__file__).stem + " ".join(sys.argv[1:]) + "\\n")
raise SystemExit({code})
"""


def folder_with(tmp_path: Path, **scripts: tuple[str, int]) -> list[build.Maker]:
    for name, (stated, code) in scripts.items():
        (tmp_path / f"make_{name}.py").write_text(SCRIPT.format(stated=stated, code=code), encoding="utf-8")
    return build.makers(tmp_path)


def ran(tmp_path: Path) -> list[str]:
    return (tmp_path / "ran.txt").read_text(encoding="utf-8").split()


def test_every_maker_of_ours_has_a_main_and_a_check() -> None:
    found = {one.name: one for one in build.makers()}
    assert {"tables", "readme", "reference", "validation"} <= set(found)
    texts = {name: one.path.read_text(encoding="utf-8") for name, one in found.items()}
    assert [name for name, text in texts.items() if "def main(" not in text or "--check" not in text] == []
    named = {name for one in found.values() for name in one.after}
    assert named <= set(found)
    assert "validation" in found["methods"].after


def test_a_maker_waits_for_those_whose_pages_it_reads(tmp_path: Path) -> None:
    found = folder_with(tmp_path, a=('AFTER = ("c",)', 0), b=("", 0), c=('AFTER = ("b",)', 0))
    assert [one.code for one in build.run_all(found, ["--check"])] == [0, 0, 0]
    assert ran(tmp_path) == ["make_b--check", "make_c--check", "make_a--check"]


def test_makers_in_a_ring_are_refused(tmp_path: Path) -> None:
    found = folder_with(tmp_path, a=('AFTER = ("b",)', 0), b=('AFTER = ("a",)', 0))
    with pytest.raises(ValueError, match="cycle"):
        list(build.run_all(found, []))


def test_a_failure_is_told_and_the_others_run(tmp_path: Path) -> None:
    found = folder_with(tmp_path, a=("print('here')", 1), b=("", 0))
    codes = {one.maker.name: (one.code, one.said) for one in build.run_all(found, [])}
    assert codes == {"a": (1, "here"), "b": (0, "")}


@pytest.mark.parametrize(
    ("words", "names"),
    [
        ([], ["quick", "slow"]),
        (["--check"], ["quick"]),
        (["--check", "--all"], ["quick", "slow"]),
        (["--with-much"], ["much", "quick", "slow"]),
        (["--check", "--with-much"], ["much", "quick"]),
    ],
)
def test_what_takes_long_is_asked_for(tmp_path: Path, words: list[str], names: list[str]) -> None:
    found = folder_with(
        tmp_path, much=('ONLY_WITH = "--with-much"', 0), quick=("", 0), slow=("IS_SLOW = True", 0)
    )
    assert [one.name for one in build.wanted(found, words)] == names
    assert "--with-much" in build.flags(found)


def test_an_unknown_word_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert build.main(["--chekc"]) == 2
    assert "--check" in capsys.readouterr().out
