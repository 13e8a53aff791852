"""start.py on odd machines: one sentence and a way out; nothing half-made is taken for whole."""

import ast
import fcntl
import importlib.util
import os
import re
import shutil
import signal
import subprocess
import sys
import threading
import venv
from collections.abc import Callable
from pathlib import Path
from types import ModuleType, SimpleNamespace
from typing import Any

import pytest

REPOSITORY = Path(__file__).parents[2]
STARTER = REPOSITORY / "start.py"
FOLDER = "Flügel und Höhe, zwölf Łódź"  # letters that a Windows code page lacks
SPY = """#!/bin/sh
printf '%s|' "$PWD" "$PYTHONPATH" "$@" >> "{log}"
printf '\\n' >> "{log}"
{more}
exit {code}
"""

Say = pytest.CaptureFixture[str]


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A folder with start.py and two locks, and no environment."""
    folder = tmp_path / FOLDER
    folder.mkdir()
    shutil.copy(STARTER, folder)
    (folder / "requirements.lock").write_text("one\n")
    (folder / "requirements-test.lock").write_text("one\ntwo\n")
    (folder / "requirements-build.lock").write_text("tool\n")
    return folder


@pytest.fixture
def start(place: Path) -> ModuleType:
    """start.py as it stands in that folder."""
    spec = importlib.util.spec_from_file_location("start_of_test", place / "start.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def put_python(place: Path, code: int = 0, more: str = "") -> Path:
    """An interpreter in the environment that only writes down how it was called; returns where it does."""
    log = place / "calls"
    python = place / ".venv/bin/python"
    python.parent.mkdir(parents=True, exist_ok=True)
    python.write_text(SPY.format(log=log, code=code, more=more))
    python.chmod(0o755)
    return log


def put_whole(start: ModuleType, place: Path) -> Path:
    """An environment that counts as installed."""
    log = put_python(place)
    start.stamp_of(start.LOCK).write_text(start.digest_of(start.LOCK))
    return log


@pytest.fixture
def made(start: ModuleType, place: Path, monkeypatch: pytest.MonkeyPatch) -> list[tuple[object, ...]]:
    """What is made and run is written down instead; making puts an interpreter there."""
    calls: list[tuple[object, ...]] = []

    def create(folder: Path, **how: object) -> None:
        calls.append(("venv", how["clear"]))
        if how["clear"]:
            shutil.rmtree(folder)
        put_python(place)

    def run(*words: str, silent: bool = False) -> int:
        del silent
        calls.append(words)
        return 0

    monkeypatch.setattr(start, "venv", SimpleNamespace(create=create))
    monkeypatch.setattr(start, "run", run)
    monkeypatch.setattr(start, "version_inside", lambda: (3, 12))
    return calls


def refused(action: Callable[[], object], said: Say) -> str:
    """The one sentence with which an action ends, exit code 2."""
    with pytest.raises(SystemExit) as ended:
        action()
    assert ended.value.code == 2
    lines = [line for line in said.readouterr().err.splitlines() if line]
    assert len(lines) == 1
    assert lines[0].startswith("glidewright: ")
    return lines[0]


# Python


@pytest.mark.parametrize(
    ("came", "is_right"),
    [((3, 10, 14), False), ((3, 11, 0), True), ((3, 12, 1), True), ((3, 13, 9), True), ((3, 14, 0), False)],
)
def test_only_the_versions_that_the_lock_is_made_for(
    came: tuple[int, ...], is_right: bool, start: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: Say
) -> None:
    monkeypatch.setattr(start.sys, "version_info", came)
    monkeypatch.setenv("PATH", "")
    if is_right:
        start.require_python()
    else:
        sentence = refused(start.require_python, capsys)
        assert f"must be 3.11 to 3.13; this is {'.'.join(map(str, came))}; install Python 3.13" in sentence


def test_a_python_that_fits_is_named_when_it_runs(
    start: ModuleType, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Say
) -> None:
    for name, code in (
        ("python3.13", 127),
        ("python3.12", 0),
        ("python3.11", 0),
    ):
        (tmp_path / name).write_text(f"#!/bin/sh\nexit {code}\n")
        (tmp_path / name).chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr(start.sys, "version_info", (3, 9, 2))
    assert "run 'python3.12 start.py'" in refused(start.require_python, capsys)


def test_on_windows_the_launcher_is_asked(start: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    asked = []

    def run(words: list[str], **_: object) -> SimpleNamespace:
        asked.append(words[:2])
        return SimpleNamespace(returncode=0 if words[1] == "-3.11" else 103)

    monkeypatch.setattr(start, "os", SimpleNamespace(name="nt"))
    monkeypatch.setattr(start, "subprocess", SimpleNamespace(run=run))
    assert start.another_python("3.13").startswith("run 'py -3.11 start.py'")
    assert asked == [["py", "-3.13"], ["py", "-3.12"], ["py", "-3.11"]]


def test_an_old_python_can_read_it_to_the_sentence() -> None:
    ast.parse(STARTER.read_text(encoding="utf-8"), feature_version=(3, 7))


# The environment


def test_a_first_start_makes_installs_and_stamps(
    start: ModuleType, place: Path, made: list[tuple[Any, ...]]
) -> None:
    start.set_up(start.LOCK)
    words = [call if call[0] == "venv" else (call[0], call[-1]) for call in made]
    assert words == [
        ("venv", False),
        ("-m", "requirements-build.lock"),
        ("-m", "requirements.lock"),
        ("-m", "setuptools"),
        ("-c", str(place / "src")),
    ]
    assert all("--require-hashes" in call for call in made[1:3])
    assert "--no-build-isolation" in made[2]  # else whatever is newest would be run to build a package
    assert "uninstall" in made[3]
    assert start.is_installed(start.LOCK)
    assert not (place / ".venv/unfinished").exists()
    made.clear()
    start.set_up(start.LOCK)
    assert made == []


def test_a_changed_lock_is_installed_into_what_is_there(
    start: ModuleType, place: Path, made: list[tuple[Any, ...]]
) -> None:
    start.set_up(start.LOCK)
    made.clear()
    (place / "requirements.lock").write_text("other\n")
    start.set_up(start.LOCK)
    assert "venv" not in [call[0] for call in made]
    assert any("requirements.lock" in call for call in made)


def test_the_lock_of_the_tests_counts_for_both(start: ModuleType, made: list[tuple[Any, ...]]) -> None:
    start.set_up(start.TEST_LOCK)
    made.clear()
    start.set_up(start.LOCK)
    start.set_up(start.TEST_LOCK)
    assert made == []


def test_the_lock_of_the_tests_holds_the_other() -> None:
    def pins(lock: str) -> dict[str, set[str]]:
        text = (REPOSITORY / lock).read_text(encoding="utf-8")
        blocks = re.split(r"\n(?=\w)", re.sub(r"^ +#.*\n", "", text, flags=re.MULTILINE))
        return {block.split(" \\")[0]: set(re.findall(r"sha256:\w+", block)) for block in blocks}

    small, large = pins("requirements.lock"), pins("requirements-test.lock")
    assert len(small) > 25
    assert small.items() <= large.items()


def test_what_was_cut_short_is_made_anew(
    start: ModuleType, place: Path, made: list[tuple[Any, ...]], monkeypatch: pytest.MonkeyPatch
) -> None:
    def killed(*words: str, silent: bool = False) -> int:
        del silent
        if "install" in words:
            raise MemoryError  # stands for the end of the process: nothing after it runs
        return 0

    with monkeypatch.context() as patch:
        patch.setattr(start, "run", killed)
        with pytest.raises(MemoryError):
            start.set_up(start.LOCK)
    assert not start.is_installed(start.LOCK)
    start.stamp_of(start.LOCK).write_text(start.digest_of(start.LOCK))  # an older stamp makes it no better
    (place / ".venv/left-over").touch()
    made.clear()
    start.set_up(start.LOCK)
    assert made[0] == ("venv", True)
    assert not (place / ".venv/left-over").exists()
    assert start.is_installed(start.LOCK)


def test_an_environment_without_its_python_is_made_anew(
    start: ModuleType, place: Path, made: list[tuple[Any, ...]]
) -> None:
    (place / ".venv/bin").mkdir(parents=True)
    (place / ".venv/bin/python").symlink_to(place / "python that was removed")
    start.set_up(start.LOCK)
    assert made[0] == ("venv", True)


def test_without_network_nothing_is_taken_for_installed_and_nothing_is_thrown_away(
    start: ModuleType, place: Path, made: list[tuple[Any, ...]], monkeypatch: pytest.MonkeyPatch, capsys: Say
) -> None:
    put_python(place)
    (place / ".venv/mine").touch()
    with monkeypatch.context() as patch:
        patch.setattr(start, "run", lambda *words, **_: int("install" in words))
        sentence = refused(lambda: start.set_up(start.LOCK), capsys)
    assert "must be installed and were not; see above, check network and disk, try again" in sentence
    assert not start.is_installed(start.LOCK)
    start.set_up(start.LOCK)
    assert "venv" not in [call[0] for call in made]
    assert (place / ".venv/mine").exists()


def test_a_folder_that_cannot_be_written_is_said(
    start: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: Say
) -> None:
    def create(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(start, "venv", SimpleNamespace(create=create))
    sentence = refused(lambda: start.set_up(start.LOCK), capsys)
    assert "must be made and was not" in sentence
    assert "where you may write" in sentence
    assert "apt-get" not in sentence


@pytest.mark.parametrize("ended", [SystemExit(1), subprocess.CalledProcessError(1, "ensurepip")])
def test_a_python_without_the_makings_of_an_environment_is_said(
    ended: BaseException, start: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: Say
) -> None:
    def create(*_: object, **__: object) -> None:
        raise ended

    monkeypatch.setattr(start, "venv", SimpleNamespace(create=create))
    assert "sudo apt-get install python3-venv" in refused(lambda: start.set_up(start.LOCK), capsys)
    monkeypatch.setattr(start, "venv", None)
    assert "sudo apt-get install python3-venv" in refused(lambda: start.set_up(start.LOCK), capsys)


def test_an_environment_of_another_python_stays_and_is_named(
    start: ModuleType, place: Path, capsys: Say
) -> None:
    put_python(place, more="echo 3 10")
    sentence = refused(lambda: start.set_up(start.LOCK), capsys)
    assert "must hold a Python 3.11 to 3.13; it holds Python 3.10; delete the folder" in sentence
    assert (place / ".venv/bin/python").exists()


def test_an_environment_of_another_machine_stays_and_is_named(
    start: ModuleType, place: Path, capsys: Say
) -> None:
    put_python(place)
    (place / ".venv/bin/python").write_bytes(b"\x7fELF of another machine")
    assert "it holds one that does not run; delete the folder" in refused(
        lambda: start.set_up(start.LOCK), capsys
    )


def test_pip_is_put_into_an_environment_without_it(
    start: ModuleType, place: Path, made: list[tuple[Any, ...]], monkeypatch: pytest.MonkeyPatch, capsys: Say
) -> None:
    put_python(place)
    has_pip = False

    def run(*words: str, silent: bool = False) -> int:
        nonlocal has_pip
        del silent
        made.append(words)
        has_pip |= "ensurepip" in words
        return 0 if has_pip else 1

    monkeypatch.setattr(start, "run", run)
    start.set_up(start.LOCK)
    assert [call[1] for call in made[:3]] == [start._PIP, "ensurepip", "pip"]
    monkeypatch.setattr(start, "run", lambda *_, **__: 1)
    (place / "requirements.lock").write_text("other\n")
    assert "pip must be in .venv and could not be put there" in refused(
        lambda: start.set_up(start.LOCK), capsys
    )


def test_the_question_for_pip_is_no_traceback(start: ModuleType, place: Path) -> None:
    venv.create(place / ".venv", symlinks=True)
    done = subprocess.run([start.python_of_environment(), "-c", start._PIP], capture_output=True, check=False)
    assert (done.returncode, done.stdout, done.stderr) == (1, b"", b"")


def test_who_sets_up_at_the_same_time_waits_and_finds_it_done(
    start: ModuleType, place: Path, made: list[tuple[Any, ...]]
) -> None:
    with (place / "start.py").open() as first:
        fcntl.flock(first, fcntl.LOCK_EX)
        second = threading.Thread(target=start.set_up, args=(start.LOCK,))
        second.start()
        second.join(0.2)
        assert second.is_alive()
        put_whole(start, place)
    second.join(20)
    assert not second.is_alive()
    assert made == []


def test_the_program_is_found_in_a_folder_with_odd_letters_that_is_renamed(
    start: ModuleType, place: Path
) -> None:
    (place / "src/glidewright").mkdir(parents=True)
    (place / "src/glidewright/__init__.py").write_text("WORD = 'found'\n")
    venv.create(place / ".venv", symlinks=True)
    assert start.run("-c", start._LINK, str(place / "src")) == 0
    (link,) = (place / ".venv").rglob("glidewright.pth")
    assert link.read_bytes().isascii()
    renamed = place.rename(place.with_name("renamed"))
    said = subprocess.run(
        [renamed / ".venv/bin/python", "-I", "-c", "import glidewright; print(glidewright.WORD)"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert said.stdout == "found\n"


# Running


def test_windows_keeps_its_interpreter_elsewhere(start: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(start, "os", SimpleNamespace(name="nt"))
    assert start.python_of_environment() == start.ENVIRONMENT / "Scripts" / "python.exe"


def test_words_are_run_where_the_person_stands(start: ModuleType, place: Path, tmp_path: Path) -> None:
    log = put_whole(start, place)
    elsewhere = tmp_path / "my models"
    elsewhere.mkdir()
    done = subprocess.run(
        [sys.executable, place / "start.py", "check", "my model"],
        cwd=elsewhere,
        env=os.environ | {"PYTHONPATH": "packages of another"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert log.read_text() == f"{elsewhere}||-P|-m|glidewright|check|my model|\n"


@pytest.mark.parametrize("code", [0, 1, 2, 130])
def test_the_exit_code_is_that_of_the_program(code: int, start: ModuleType, place: Path) -> None:
    put_whole(start, place)
    put_python(place, code=code)
    assert subprocess.run([sys.executable, place / "start.py", "check"], check=False).returncode == code


def test_a_kill_reaches_the_program(start: ModuleType, place: Path) -> None:
    put_whole(start, place)
    put_python(place, more="echo up; exec sleep 60")
    with subprocess.Popen([sys.executable, place / "start.py", "serve"], stdout=subprocess.PIPE) as running:
        assert running.stdout is not None
        assert running.stdout.readline() == b"up\n"
        running.terminate()
        assert running.wait(20) == -signal.SIGTERM  # no child is left behind that holds the port


def test_on_windows_the_program_ends_in_its_own_way(
    start: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Child:
        """Hears Ctrl-C once and ends a little later."""

        heard = 0

        def wait(self) -> int:
            self.heard += 1
            if self.heard == 1:
                raise KeyboardInterrupt
            return 130

    monkeypatch.setattr(start, "os", SimpleNamespace(name="nt", environ={}))
    monkeypatch.setattr(start, "subprocess", SimpleNamespace(Popen=lambda *_, **__: Child()))
    assert start.hand_over("serve") == 130


def test_the_demo_prints_in_a_folder_whose_letters_the_screen_lacks(start: ModuleType, place: Path) -> None:
    put_whole(start, place)
    done = subprocess.run(
        [sys.executable, place / "start.py"],
        env=os.environ | {"PYTHONIOENCODING": "ascii"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert "Fl\\xfcgel" in done.stdout


def test_the_demo_is_shown_where_no_page_can_be_written(start: ModuleType, place: Path, capsys: Say) -> None:
    log = put_whole(start, place)
    (place / "out").write_text("a file in the place of the folder")
    assert start.demo() == 0
    assert "no page is written" in capsys.readouterr().out
    assert "--html" not in log.read_text()


@pytest.mark.parametrize(("code", "expected"), [(0, 0), (1, 0), (2, 2)])
def test_a_finding_is_part_of_the_demo_and_a_mistake_is_not(
    code: int, expected: int, start: ModuleType, place: Path
) -> None:
    put_python(place, code=code)
    assert start.demo() == expected


def test_ctrl_c_while_installing_is_one_sentence(
    start: ModuleType, made: list[tuple[Any, ...]], monkeypatch: pytest.MonkeyPatch, capsys: Say
) -> None:
    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(start, "install", stopped)
    monkeypatch.setattr(sys, "argv", ["start.py"])
    with pytest.raises(SystemExit) as ended:
        start.main()
    assert ended.value.code == 130
    assert (
        capsys.readouterr().err == "glidewright: stopped; start.py takes up from here when it is run again.\n"
    )
    assert made[0][0] == "venv"


def test_byte_code_is_made_at_once_only_where_it_would_never_be_kept(
    start: ModuleType, place: Path, made: list[tuple[Any, ...]], monkeypatch: pytest.MonkeyPatch
) -> None:
    put_python(place)
    for value, word in (("1", "--compile"), ("", "--no-compile")):
        monkeypatch.setenv("PYTHONDONTWRITEBYTECODE", value)
        made.clear()
        start.install(start.LOCK)
        assert word in made[0]
