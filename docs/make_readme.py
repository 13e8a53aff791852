"""Put the real output of the demo into README.md; ``--check`` says whether it is still what is printed.

Only the answers are shown. Figures of the output follow the draws, which are the same on every machine; the
last digit may differ where a platform rounds otherwise, so the check compares words and leaves digits out.
"""

import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
DEMO = "src/glidewright/data/demo/hill-demo"
BEGIN, END = "<!-- output: begin -->", "<!-- output: end -->"


def answers() -> str:
    """The report of the demo from its title to the end of the answers."""
    words = [sys.executable, "-m", "glidewright", "check", DEMO]
    printed = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=False).stdout
    return printed.split("\nLimits ---")[0].rstrip()


def with_output(text: str, output: str) -> str:
    """The README with this output between its marks."""
    before, _, rest = text.partition(BEGIN)
    after = rest.partition(END)[2]
    return f"{before}{BEGIN}\n```\n{output}\n```\n{END}{after}"


def without_digits(text: str) -> str:
    """A text in which numbers and line breaks no longer matter."""
    return re.sub(r"\s+", " ", re.sub(r"\d+(\.\d+)?", "#", text))


def main() -> int:
    """Write the README, or compare."""
    text = README.read_text(encoding="utf-8")
    made = with_output(text, answers())
    if "--check" in sys.argv:
        same = without_digits(made) == without_digits(text)
        print("README shows what the program prints" if same else "run python docs/make_readme.py")
        return 0 if same else 1
    README.write_text(made, encoding="utf-8")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
