"""Put what the commands print into the tutorial and the how-to pages.

    python docs/make_shown.py [PAGE ...]            write them, all or some
    python docs/make_shown.py --check [PAGE ...]    say whether they still show what is printed

Digits are left out of the comparison: the last one may differ where a platform rounds otherwise. ``shown.py``
says how a page tells what is run.
"""

import sys
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

from shown import ROOT, WrongPageError, made, without_digits

IS_SLOW = True
PAGES = (ROOT / "docs/tutorial.md", *sorted((ROOT / "docs/howto").glob("*.md")))


def renewed(page: Path) -> str:
    """The page as it should be, or a WrongPageError that names it."""
    try:
        return made(page.read_text(encoding="utf-8"))
    except WrongPageError as wrong:
        raise WrongPageError(f"{page.relative_to(ROOT)}: {wrong}") from wrong


def main(words: list[str]) -> int:
    """Write the pages, or compare."""
    only_check = "--check" in words
    wanted = [Path(word).resolve() for word in words if word != "--check"] or PAGES
    behind = 0
    # spawned: a forked child would have the locks of the kernels' threads, but not the threads
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        for page, text in zip(wanted, pool.map(renewed, wanted), strict=True):
            had = page.read_text(encoding="utf-8")
            if not only_check:
                page.write_text(text, encoding="utf-8")
            elif without_digits(text) != without_digits(had):
                print(f"{page.relative_to(ROOT)} shows other than is printed; run python docs/make_shown.py")
                behind = 1
    return behind


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
