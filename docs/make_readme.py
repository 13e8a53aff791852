"""Put the real output of the demo into README.md; ``--check`` says whether it is still what is printed.

Only the answers are shown. Figures of the output follow the draws, which are the same on every machine; the
last digit may differ where a platform rounds otherwise, so the check compares words and leaves digits out.
"""

import sys

from shown import ROOT, answer, without_digits

README = ROOT / "README.md"
BEGIN, END = "<!-- output: begin -->", "<!-- output: end -->"


def renewed(text: str) -> str:
    """The README with what is printed now between its marks."""
    before, _, rest = text.partition(BEGIN)
    after = rest.partition(END)[2]
    output = answer("glidewright check hill-demo", "head; Answers")
    return f"{before}{BEGIN}\n```\n{output}\n```\n{END}{after}"


def main() -> int:
    """Write the README, or compare."""
    text = README.read_text(encoding="utf-8")
    made = renewed(text)
    if "--check" in sys.argv:
        same = without_digits(made) == without_digits(text)
        print("README shows what the program prints" if same else "run python docs/make_readme.py")
        return 0 if same else 1
    README.write_text(made, encoding="utf-8")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
