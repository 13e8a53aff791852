"""The command frame: exit codes, sentences, the JSON error object, quick help."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
import typer

from glidewright.base.errors import InputError, OutsideModelError, Problem
from glidewright.faces.cli import commands
from glidewright.faces.cli import main as frame
from glidewright.faces.cli.main import main

COMMANDS = sorted(
    path.stem for path in Path(commands.__path__[0]).glob("*.py") if not path.stem.startswith("_")
)
_HEAVY = ("numpy", "numba", "scipy", "pydantic", "vl_convert", "rich", "tomlkit")


def python(code: str, *more: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", code, *more], capture_output=True, text=True, check=False, timeout=60
    )


def test_help_reads_nothing_that_computes() -> None:
    code = (
        "import sys\n"
        "from glidewright.faces.cli.main import main\n"
        "code = main(['--help'])\n"
        f"print([name for name in {_HEAVY} if name in sys.modules], code)"
    )
    done = python(code)
    assert done.stdout.splitlines()[-1] == "[] 0"
    assert "Usage: glidewright" in done.stdout


@pytest.mark.parametrize("command", COMMANDS)
def test_help_of_a_command_reads_nothing_that_computes(command: str) -> None:
    # typer itself reads pydantic to name the types of options
    heavy = [name for name in _HEAVY if name != "pydantic"]
    code = (
        "import sys\n"
        "from glidewright.faces.cli.main import main\n"
        "main([sys.argv[1], '--help'])\n"
        f"print([name for name in {heavy} if name in sys.modules])"
    )
    assert python(code, command).stdout.splitlines()[-1] == "[]"


def test_the_program_runs_as_a_module() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "glidewright", "--version"], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0
    assert done.stdout.startswith("glidewright ")


def test_every_command_of_the_folder_stands_in_the_help(capsys: pytest.CaptureFixture[str]) -> None:
    main(["--help"])
    said = capsys.readouterr().out
    assert len(COMMANDS) >= 3
    assert all(f"\n  {command} " in said for command in COMMANDS)
    assert "..." not in said[said.index("Commands:") :]  # no sentence is cut


def test_without_a_command_the_help_is_shown(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([]) == 0
    assert "Commands:" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["nonsense"], "no such command 'nonsense'; see glidewright --help"),
        (["parts"], "missing argument 'MODEL'; see glidewright parts --help"),
        (
            ["sheet", "X", "--paper", "a5"],
            "--paper: must be one of 'a4', 'letter'; a5 came; see glidewright sheet --help",
        ),
        (["choose", ".", "--buy", "-1"], "--buy: must be at least 0; -1 came; see glidewright choose --help"),
        (
            ["fair", "x", "--draws", "x"],
            "--draws: must be a whole number; x came; see glidewright fair",
        ),
        (["new"], "missing argument 'NAME'; see glidewright new --help"),
        (["parts", "x", "--ready-in", "soon"], "--ready-in: must be a number; soon came"),
        (["new", "x", "--colour"], "no such option"),
    ],
)
def test_a_wrong_call_gets_one_sentence_and_two(
    arguments: list[str], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(arguments) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert sentence.casefold() in said.err.casefold()
    assert said.err.startswith("glidewright: ")
    assert said.err.count("\n") == 1


def test_a_wrong_call_with_json_gets_the_error_object(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["parts", "--json"]) == 2
    said = capsys.readouterr()
    assert said.err == ""
    body = json.loads(said.out)
    assert body["ok"] is False
    assert body["command"] == "parts"
    assert body["error"] == body["errors"][0]["message"]
    assert body["errors"] == [
        {"where": "", "message": "missing argument 'MODEL'; see glidewright parts --help"}
    ]


def test_a_missing_folder_gets_one_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["parts", str(tmp_path / "none")]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1


def one_command(run: typer.models.CommandFunctionType) -> typer.Typer:
    app = typer.Typer(rich_markup_mode=None, pretty_exceptions_enable=False)
    app.callback()(lambda: None)
    app.command("job")(run)
    return app


@pytest.mark.parametrize("kind", [InputError, OutsideModelError])
@pytest.mark.parametrize("as_json", [True, False])
def test_every_problem_is_named(
    kind: type[InputError | OutsideModelError],
    as_json: bool,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    def job(as_json: bool = typer.Option(False, "--json")) -> None:  # noqa: ARG001 - the frame looks at the words
        raise kind([Problem("a.toml", "must be x"), Problem("b.toml", "must be y")])

    monkeypatch.setattr(frame, "command_table", lambda: one_command(job))
    assert main(["job", "--json"] if as_json else ["job"]) == 2
    said = capsys.readouterr()
    if as_json:
        assert json.loads(said.out)["errors"] == [
            {"where": "a.toml", "message": "must be x"}, {"where": "b.toml", "message": "must be y"},
        ]  # fmt: skip
    else:
        assert said.err == "glidewright: a.toml: must be x\nglidewright: b.toml: must be y\n"


def test_a_mistake_of_the_program_keeps_its_traceback(monkeypatch: pytest.MonkeyPatch) -> None:
    def job() -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(frame, "command_table", lambda: one_command(job))
    with pytest.raises(ZeroDivisionError):
        main(["job"])


def test_ctrl_c_is_one_sentence_and_130(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def job() -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(frame, "command_table", lambda: one_command(job))
    assert main(["job"]) == 130
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.strip().count("\n") == 0
    assert "stopped" in said.err


@pytest.mark.skipif(sys.platform == "win32", reason="a pipe closes otherwise there")
def test_a_reader_that_goes_away_hears_nothing_and_says_nothing(tmp_path: Path) -> None:
    code = "import sys; from glidewright.faces.cli.main import main; sys.exit(main(sys.argv[1:]))"
    assert main(["new", "Lark", "--in", str(tmp_path)]) == 0
    reader, writer = os.pipe()
    os.close(reader)
    done = subprocess.run(
        [sys.executable, "-c", code, "parts", str(tmp_path / "Lark")],
        stdout=writer, stderr=subprocess.PIPE, text=True, check=False,
    )  # fmt: skip
    os.close(writer)
    assert done.stderr == ""
    assert done.returncode == 0


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no disk that is always full here")
@pytest.mark.parametrize("words", [["parts", "{model}"], ["parts", "{model}", "--json"], ["nonsense"]])
def test_output_to_a_full_disk_is_one_sentence(tmp_path: Path, words: list[str]) -> None:
    code = "import sys; from glidewright.faces.cli.main import main; sys.exit(main(sys.argv[1:]))"
    assert main(["new", "Lark", "--in", str(tmp_path)]) == 0
    given = [word.format(model=tmp_path / "Lark") for word in words]
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-c", code, *given],
            stdout=full, stderr=subprocess.PIPE, text=True, check=False, timeout=60,
        )  # fmt: skip
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert done.stderr.startswith("glidewright: ")
    assert done.stderr.count("\n") == 1
