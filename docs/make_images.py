"""Draw the pictures of the docs into docs/images/demo/, from the demo and by the program's own charts.

    python docs/make_images.py            draw them
    python docs/make_images.py --check    say whether they still show what the program draws

The comparison leaves digits out and counts the marks: a machine with other fonts measures words otherwise,
and the last digit may differ where a platform rounds otherwise. ``pictures.py`` says what each picture is
made of.
"""

import re
import sys
from collections import Counter
from collections.abc import Iterator

from marked import DOCS, ROOT
from pictures import pictures

IS_SLOW = True  # choose, fair and calibrate are computed for one picture each
FOLDER = DOCS / "images" / "demo"


def build_of(svg: str) -> tuple[list[str], Counter[str]]:
    """What is the same on every machine: the words without their digits, and the count of each mark."""
    words = [re.sub(r"[\d.,]+", "#", text) for text in re.findall(r">([^<>]+)<", svg) if text.strip()]
    return sorted(word for word in words if word.strip("# −-")), Counter(re.findall(r"<(\w+)", svg))


def behind() -> Iterator[str]:
    """Names of the files that hold another picture than the program draws, or should not be there."""
    drawn = pictures()
    for name, draw in drawn.items():
        path = FOLDER / f"{name}.svg"
        if not path.exists() or build_of(path.read_text(encoding="utf-8")) != build_of(draw()):
            yield path.name
    yield from sorted(path.name for path in FOLDER.glob("*") if path.stem not in drawn)


def main() -> int:
    """Draw the pictures, or compare; 1 when one is behind."""
    if "--check" in sys.argv[1:]:
        late = list(behind())
        for name in late:
            print(f"{(FOLDER / name).relative_to(ROOT)}: behind; run python docs/make_images.py")
        return 1 if late else 0
    FOLDER.mkdir(parents=True, exist_ok=True)
    for name, draw in pictures().items():
        (FOLDER / f"{name}.svg").write_text(draw(), encoding="utf-8")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
