"""The commands of docs/tutorial.md run as they stand there, in order, on a copy of the demo."""

import runpy
from pathlib import Path

REPOSITORY = Path(__file__).parents[2]
MAKER = runpy.run_path(str(REPOSITORY / "docs" / "make_tutorial.py"))
JOBS = "parts check power launch balance choose compare glide controls plan sheet read calibrate"


def test_every_block_runs_and_has_the_sections_that_are_shown() -> None:
    text = (REPOSITORY / "docs" / "tutorial.md").read_text(encoding="utf-8")
    blocks = list(MAKER["BLOCK"].finditer(text))
    assert len(blocks) == text.count("```console")
    assert set(JOBS.split()) == {block["command"].split()[1] for block in blocks}
    assert all(block["text"].strip() for block in blocks)
    fresh = MAKER["made"](text)  # ends with an error for a refused command and for a section that is gone
    assert fresh.count("```console") == len(blocks)
    fresh_blocks = MAKER["BLOCK"].finditer(fresh)
    checks = [block["text"] for block in fresh_blocks if block["command"].endswith("check hill-demo")]
    assert len(checks) == 2
    assert checks[0] != checks[1]  # what the flights taught is in the second one
