"""Flight logs through the command line: read, entered once, calibrated, and refused in one sentence."""

import io
import json
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from glidewright.faces.cli import reading
from glidewright.store import logbook

Run = Callable[..., Any]
Picture = Callable[[Path], dict[str, bytes]]


@pytest.fixture
def logs(demo_folder: Path) -> Path:
    return demo_folder.parent / "hill-demo-flights"


def in_one_line(ran: Any) -> str:
    """The text without the line ends of its width."""
    return " ".join(ran.out.split())


def refused(ran: Any, *words: str) -> None:
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.count("\n") == 1, ran.err
    assert ran.err.startswith("glidewright: ")
    assert "Traceback" not in ran.err
    for word in words:
        assert word in ran.err, ran.err


def test_a_log_is_looked_at_accepted_entered_and_not_entered_again(
    folder: Path, logs: Path, run: Run, picture: Picture
) -> None:
    file = logs / "evening-1.csv"
    before = picture(folder)
    looked = run("read", file, "--model", folder, "--look", "--json").body
    assert looked["result"]["entered"].startswith("only looked at")
    assert picture(folder) == before
    waiting = run("read", file, "--model", folder)
    assert "Not entered" in waiting.out
    assert "--accept-channels" in waiting.out
    assert not (folder / "flights").exists()
    entered = run("read", file, "--model", folder, "--accept-channels", "--landing", "0.8")
    assert entered.code == 0
    assert "Entered 1 flight with 1 launch" in in_one_line(entered)
    (kept,) = [path for path in (folder / "flights").iterdir() if path.is_file()]
    assert kept.read_bytes() == file.read_bytes()
    again = run("read", kept, "--model", folder)  # its channels are known now, and so is the log
    assert "nothing was entered twice" in in_one_line(again)
    day = run("read", "--model", folder, "--day", "2025-05-03", "--json").body["result"]["day"]
    assert len(day["launches"]) == 1
    assert day["scores"][0]["landing_m"] == 0.8


def test_a_log_can_teach_what_it_lacks_later(folder: Path, logs: Path, run: Run) -> None:
    file = logs / "evening-1.csv"
    run("read", file, "--model", folder, "--accept-channels")
    run("read", file, "--model", folder, "--landing", "2.5")
    body = run("read", "--model", folder, "--day", "2025-05-03", "--json").body
    assert body["result"]["day"]["scores"][0]["landing_m"] == 2.5


def test_a_log_is_taken_out_again(folder: Path, logs: Path, run: Run) -> None:
    file = logs / "evening-1.csv"
    run("read", file, "--model", folder, "--accept-channels")
    ran = run("read", file, "--model", folder, "--forget")
    assert (ran.code, ran.err) == (0, "")
    assert "Taken out of the logbook: 1 flight" in in_one_line(ran)
    assert [path.name for path in (folder / "flights").iterdir()] == ["maps"]
    refused(run("read", "--model", folder, "--day", "2025-05-03"), "no launch yet")
    refused(run("read", file, "--model", folder, "--forget"), "not in it")
    refused(run("read", "--model", folder, "--day", "2025-05-03", "--forget"), "FILE")


def test_a_log_of_another_model_is_doubted(folder: Path, logs: Path, run: Run, tmp_path: Path) -> None:
    # the same flight with the volts of three cells in place of two
    head, *rows = (logs / "evening-1.csv").read_text(encoding="utf-8").split("UTC,", 1)[1].splitlines()
    changed = [row.split(",") for row in rows]
    text = "\n".join(",".join([a, b, f"{1.5 * float(v):.2f}", *rest]) for a, b, v, *rest in changed)
    other = tmp_path / "other.csv"
    other.write_text(f"UTC,{head}\n{text}\n", encoding="utf-8")
    doubt = "is it the log of another model"
    assert doubt in in_one_line(run("read", other, "--model", folder, "--look"))
    assert doubt not in in_one_line(run("read", logs / "evening-1.csv", "--model", folder, "--look"))


def test_a_person_is_asked_once(folder: Path, logs: Path, run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "_is_talk", lambda: True)
    for answer, words in (
        ("n\n", "Not entered"),
        ("yes\n", "Entered 1 flight"),
        ("", "nothing was entered twice"),
    ):
        monkeypatch.setattr(sys, "stdin", io.StringIO(answer))
        ran = run("read", logs / "evening-1.csv", "--model", folder)
        assert words in in_one_line(ran), answer
        assert ("Is that right?" in ran.out) == bool(answer)


def test_a_pipe_is_never_asked(folder: Path, logs: Path) -> None:
    command = [
        sys.executable,
        "-m",
        "glidewright",
        "read",
        str(logs / "evening-1.csv"),
        "--model",
        str(folder),
    ]
    ran = subprocess.run(command, input="", capture_output=True, text=True, check=False, timeout=120)
    assert ran.returncode == 0
    assert "Is that right?" not in ran.stdout
    assert "Altitude (m)" in ran.stdout


@pytest.fixture
def flown(folder: Path, logs: Path, run: Run) -> Path:
    for name in ("evening-1.csv", "evening-2.csv"):
        # the second log has a launch that came near the height of the class
        assert run("read", logs / name, "--model", folder, "--accept-channels").code in (0, 1)
    return folder


def test_calibrate_says_what_changed_and_every_command_takes_it(
    flown: Path, run: Run, without_changes: None
) -> None:
    del without_changes

    def height(command: str) -> dict[str, Any]:
        body = run(command, flown, "--json").body
        launch = body["result"]["launch"]
        found: dict[str, Any] = next(
            row["figure"] for row in launch["figures"] if row["name"] == "height_without_limiter_m"
        )
        return found

    wide = height("launch")
    ran = run("calibrate", flown)
    assert ran.code == 0
    for words in ("Before and after", "Held-back flights", "Measure next", "The season", "corrections.toml"):
        assert words in ran.out
    assert max(map(len, ran.out.splitlines())) <= 80
    narrow = height("launch")
    assert narrow["high"] - narrow["low"] < 0.5 * (wide["high"] - wide["low"])
    assert height("check") == narrow
    body = run("calibrate", flown, "--json").body
    assert body["result"]["flights"] == 2
    assert body["findings"] == []


def test_what_changed_since_calibrating_is_said(
    flown: Path, run: Run, logs: Path, without_changes: None
) -> None:
    del without_changes
    for command in ("check", "launch", "power", "glide"):
        told = in_one_line(run(command, flown, "--all"))
        assert "2 logs in flights/ have not taught yet: run glidewright calibrate" in told, command
    run("calibrate", flown)
    assert "taught yet" not in in_one_line(run("check", flown))
    run("read", logs / "club-contest.csv", "--model", flown)
    assert "has not taught yet" in in_one_line(run("check", flown))


def test_charges_come_into_the_logbook_and_teach(folder: Path, run: Run) -> None:
    (folder / "charges.toml").write_text(
        'schema = 1\n[[charge]]\npack = "p2-550"\ndate = "2025-05-03"\nput_back_mAh = 400\n'
        "resting_before_V = 7.45\nresistance_mohm = 61\n",
        encoding="utf-8",
    )
    body = run("calibrate", folder, "--json").body
    assert body["result"]["charges"] == 1
    assert {row["name"] for row in body["result"]["learned"]} >= {"pack.capacity", "pack.resistance"}
    raw = sqlite3.connect(folder / "logbook.sqlite")
    assert raw.execute("SELECT pack, put_back_As FROM charges").fetchall() == [("p2-550", 1440.0)]
    raw.close()


def test_pages_are_written_with_their_charts(flown: Path, run: Run, tmp_path: Path, logs: Path) -> None:
    page = tmp_path / "log.html"
    assert run("read", logs / "evening-1.csv", "--model", flown, "--html", page).code == 0
    text = page.read_text(encoding="utf-8")
    assert text.count("<svg") >= 1
    assert "motor run" in text
    page = tmp_path / "calibration.html"
    assert run("calibrate", flown, "--html", page).code == 0
    assert "Height expected of each launch" in page.read_text(encoding="utf-8")


# ------------------------------------------------------------------ bad input


def test_bad_logs_are_one_sentence_and_enter_nothing(
    folder: Path, run: Run, tmp_path: Path, picture: Picture
) -> None:
    run("read", "--model", folder, "--day", "2025-05-03")  # makes the logbook
    before = picture(folder)
    cases: dict[str, tuple[bytes, str]] = {
        "empty.csv": (b"", "empty"),
        "letter.txt": (b"dear aunt,\nit flew well today\n", "letter.txt"),
        "noise.bin": (bytes(range(256)) * 40, "noise.bin"),
        "flat.csv": (b"time (s),voltage (V)\n" + b"".join(b"%d,7\n" % t for t in range(50)), "height"),
    }
    for name, (data, words) in cases.items():
        file = tmp_path / name
        file.write_bytes(data)
        refused(run("read", file, "--model", folder, "--accept-channels"), words)
    refused(run("read", tmp_path / "nowhere.csv", "--model", folder), "nowhere.csv")
    refused(run("read", tmp_path, "--model", folder), "folder")
    assert picture(folder) == before


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), ("FILE", "--day")),
        (("--day", "2025-05-04"), ("2025-05-04", "no launch yet")),
        (("--day", "May"), ("year-month-day",)),
    ],
)
def test_a_request_without_a_log_is_one_sentence(
    folder: Path, run: Run, words: tuple[str, ...], said: tuple[str, ...]
) -> None:
    refused(run("read", "--model", folder, *words), *said)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--pack", "p9"), ("p9", "p2-550")),
        (("--mass", "-3"), ("mass_g", "greater than 0")),
        (("--temperature", "500"), ("temperature_C", "at most 55")),
        (("--wind", "nan"), ("finite",)),
        (("--landing", "-1"), ("--landing",)),
        (("--day", "2025-13-01"), ("year-month-day",)),
    ],
)
def test_wrong_words_beside_a_log_are_one_sentence(
    folder: Path, logs: Path, run: Run, words: tuple[str, ...], said: tuple[str, ...]
) -> None:
    refused(run("read", logs / "evening-1.csv", "--model", folder, *words), *said)
    assert not (folder / "flights").exists()


def test_calibrate_without_evidence_is_one_sentence(folder: Path, run: Run) -> None:
    refused(run("calibrate", folder), "something to learn from", "glidewright read")


def test_folders_that_cannot_be_used_are_one_sentence(
    folder: Path, logs: Path, run: Run, tmp_path: Path
) -> None:
    file = logs / "evening-1.csv"
    for command in (("calibrate", tmp_path / "nowhere"), ("read", file, "--model", tmp_path / "nowhere")):
        refused(run(*command), "nowhere")
    (folder / "charges.toml").write_text("schema = 1\n[[charge]]\n", encoding="utf-8")
    ran = run("calibrate", folder)
    assert (ran.code, ran.out) == (2, "")
    assert "charges.toml" in ran.err


def test_a_part_that_flew_and_left_the_drawer_is_named(flown: Path, run: Run) -> None:
    with sqlite3.connect(flown / "logbook.sqlite") as raw:
        raw.execute("UPDATE flights SET pack = 'p2-551' WHERE date = '2025-05-03'")
    raw.close()
    refused(run("calibrate", flown), "p2-551", "p2-550")


def test_a_logbook_that_cannot_be_used_is_one_sentence(
    flown: Path, run: Run, logs: Path, monkeypatch: pytest.MonkeyPatch, picture: Picture
) -> None:
    monkeypatch.setattr(logbook, "WAIT_s", 0.05)
    file = flown / "logbook.sqlite"
    with sqlite3.connect(file) as raw:
        raw.execute("UPDATE logbook SET value = '99'")
    raw.close()
    before = picture(flown)
    for command in (("calibrate", flown), ("read", logs / "club-contest.csv", "--model", flown)):
        refused(run(*command), "logbook.sqlite", "newer")
    with sqlite3.connect(file) as raw:
        raw.execute("UPDATE logbook SET value = '2'")
    raw.close()
    holder = sqlite3.connect(file, isolation_level=None)
    holder.execute("BEGIN IMMEDIATE")
    for command in (("calibrate", flown), ("read", logs / "club-contest.csv", "--model", flown)):
        refused(run(*command), "another program")
    holder.execute("ROLLBACK")
    holder.close()
    after = picture(flown)
    assert set(after) == set(before)


def test_refusals_come_as_json_where_json_was_asked_for(folder: Path, run: Run) -> None:
    ran = run("calibrate", folder, "--json")
    assert (ran.code, ran.err) == (2, "")
    assert json.loads(ran.out)["ok"] is False
