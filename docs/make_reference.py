"""Write docs/reference/ from the metadata beside the code: commands, JSON answers, measures, logs, models.

    python docs/make_reference.py            write the pages
    python docs/make_reference.py --check    only say whether they are what the code makes

Only the first lines of these pages are typed by hand. A page is behind as soon as an option, a field, a
measure, a log format or a docstring changes.
"""

import sys
from collections.abc import Callable, Mapping
from pathlib import Path

import reference_commands
import reference_json
import reference_lists
import reference_models
from marked import DOCS, written

FOLDER = DOCS / "reference"
PAGES: Mapping[str, tuple[Callable[[], str], str]] = {
    "commands.md": (reference_commands.page, "every command with its arguments, options and exit codes"),
    "json.md": (reference_json.page, "what each command answers with `--json`"),
    "measures.md": (reference_lists.measures_page, "what a class may limit, and what answers it"),
    "log_formats.md": (reference_lists.formats_page, "formats, channels and units of flight logs"),
    "models.md": (reference_models.page, "every function of the physics with unit and source"),
}
_ELSEWHERE = (
    ("../files.md", "every key of a model folder, a part, a class file and a log of charges"),
    ("../../NOMENCLATURE.md", "names and units in the code"),
    ("../methods/README.md", "the models in words, with their coefficients"),
    ("../validation.md", "every number that is held against one from outside"),
)


def pages() -> dict[Path, str]:
    """What every page must hold, the list of them too."""
    made = {FOLDER / name: make() for name, (make, _) in PAGES.items()}
    own = "".join(f"- [{name}]({name}): {words}\n" for name, (_, words) in PAGES.items())
    others = "".join(f"- [{Path(link).name if 'README' not in link else 'methods'}]({link}): {words}\n"
                     for link, words in _ELSEWHERE)  # fmt: skip
    made[FOLDER / "README.md"] = (
        "# Reference\n\nMade by `python docs/make_reference.py` from the code.\n\n"
        f"{own}\nReference that stands elsewhere:\n\n{others}"
    )
    return made


def main() -> int:
    """Write the pages, or with ``--check`` compare them; 1 when one is behind."""
    FOLDER.mkdir(exist_ok=True)
    return written(pages(), only_check="--check" in sys.argv[1:])


if __name__ == "__main__":
    raise SystemExit(main())
