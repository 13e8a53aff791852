"""Run in a process of its own: commands, each in a fork, and which libraries each of them loads.

    python -S -P walk.py PLACE < commands.json       one JSON object a line

PLACE is the folder of the libraries. A fork starts from the command table alone, so that what one command
loads is not there for the next one.
"""

import json
import os
import sys
import tempfile
import traceback
from pathlib import Path

from glidewright.faces.cli.main import main


def libraries(place: str) -> list[str]:
    """Names on the top level of what is loaded from a folder."""
    files = {name.partition(".")[0]: getattr(module, "__file__", "") for name, module in sys.modules.items()}
    return sorted(name for name, file in files.items() if file and file.startswith(place))


def run_alone(words: list[str], place: str) -> dict[str, object]:
    """One command in a fork: exit code, what it said on stderr, what it loaded."""
    with tempfile.TemporaryDirectory() as folder:
        said, told = Path(folder, "said"), Path(folder, "told")
        child = os.fork()
        if child == 0:
            for number, file in ((1, os.devnull), (2, str(said))):
                os.dup2(os.open(file, os.O_WRONLY | os.O_CREAT), number)
            try:
                code: object = main(words)
            except BaseException:  # whatever it is, the parent must hear of it
                code = traceback.format_exc()
            told.write_text(json.dumps({"code": code, "libraries": libraries(place)}), encoding="utf-8")
            sys.stderr.flush()
            os._exit(0)
        _, status = os.waitpid(child, 0)
        found = (
            json.loads(told.read_text(encoding="utf-8")) if told.exists() else {"code": f"ended by {status}"}
        )
        return {**found, "said": said.read_text(encoding="utf-8") if said.exists() else ""}


if __name__ == "__main__":
    for one in json.load(sys.stdin):
        sys.stdout.write(json.dumps(run_alone(one, sys.argv[1])) + "\n")
        sys.stdout.flush()
