"""The doors of the store: every file that a model folder may hold, and the function that reads it.

Whatever the bytes of a file are, its door reads them or says sentences (``GlidewrightError``); ``verdict``
tells what came instead.
"""

import re
import shutil
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

import glidewright
from glidewright.base.errors import GlidewrightError
from glidewright.data import packaged
from glidewright.domain.learned import Learned, LearnedInput
from glidewright.rules.measures import MEASURE_UNITS
from glidewright.store.channel_maps import read_maps
from glidewright.store.charges import read_charges
from glidewright.store.class_files import read_class
from glidewright.store.corrections import read_learned, text_of
from glidewright.store.parts_files import read_parts_files
from glidewright.store.reading import read_model
from glidewright.store.rule_options import read_rule_options
from glidewright.store.section_files import section_of_text
from glidewright.store.texts import read_text
from glidewright.store.variants import read_variant

DEMO = Path(glidewright.__file__).parent / "data/demo/hill-demo"
LONGEST_SENTENCE = 1000  # signs; a message that repeats a whole file helps nobody
Door = Callable[[Path], object]


def full_folder(place: Path) -> Path:
    """A copy of the demo with a file of every kind that a model folder may hold."""
    folder = place / "hill"
    shutil.copytree(DEMO, folder)
    own = packaged("classes", "hill-club-electric.toml").read_text(encoding="utf-8")
    for name, text in {
        "classes/own.toml": own,
        "sections/Hill 7.dat": section_text(),
        "flights/maps/one.toml": MAP,
        "charges.toml": CHARGES,
        "corrections.toml": text_of(LEARNED),
    }.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    (folder / "old").mkdir()
    head = (DEMO / "model.toml").read_text(encoding="utf-8")
    lifted = re.sub(r"^schema = 1.*\n", "[model]\n", head, count=1)
    (folder / "old/model.toml").write_text(lifted, encoding="utf-8")
    drawers = [(DEMO / f"parts/{name}.toml").read_text(encoding="utf-8") for name in ("power", "radio")]
    second = re.sub(r"^(schema|grade) = .*\n", "", drawers[1], flags=re.MULTILINE)
    (folder / "old/drawer.toml").write_text(drawers[0] + second, encoding="utf-8")
    return folder


DOORS: Mapping[str, tuple[str, Door]] = {
    "model.toml": ("model.toml", read_model),
    "file of the drawer": ("parts/power.toml", read_model),
    "further parts file": (
        "parts/radio.toml",
        lambda folder: read_parts_files([folder / "parts/radio.toml"], "EUR", {"USD": 0.9}),
    ),
    "class file": ("classes/own.toml", lambda folder: read_class(folder, "own", MEASURE_UNITS)),
    "variant that changes": ("variants/bigger-pack.toml", lambda folder: read_variant(folder, "bigger-pack")),
    "variant that adds": ("variants/windy-day.toml", lambda folder: read_variant(folder, "windy-day")),
    "rule options": (
        "options.toml",
        lambda folder: read_rule_options(folder / "options.toml", MEASURE_UNITS),
    ),
    "section coordinates": (
        "sections/Hill 7.dat",
        lambda folder: section_of_text(read_text(folder / "sections/Hill 7.dat", "Hill 7.dat"), "Hill 7.dat"),
    ),
    "model.toml of schema 0": ("old/model.toml", lambda folder: read_model(folder / "old")),
    "drawer of schema 0": ("old/drawer.toml", lambda folder: read_model(folder / "old")),
    "channel map": ("flights/maps/one.toml", read_maps),
    "charges": ("charges.toml", lambda folder: read_charges(folder, ["pack-2s-550"])),
    "what flights taught": ("corrections.toml", read_learned),
}


@dataclass(frozen=True)
class Verdict:
    """What a door did with a spoiled file; fault: empty, or what must not be; seconds: of the processor."""

    fault: str
    is_refused: bool
    seconds: float


def verdict(door: Door, folder: Path) -> Verdict:
    """Read by a door: read or refused in sentences is well, everything else is a fault."""
    begin = time.process_time()
    try:
        door(folder)
    except GlidewrightError as refused:
        faults = [said for problem in refused.problems if (said := fault_of(str(problem)))]
        faults += [] if refused.problems else ["it names no problem"]
        return Verdict(faults[0] if faults else "", True, time.process_time() - begin)
    except Exception as mistake:  # what must never come out of a door is what is looked for
        return Verdict(f"{type(mistake).__name__}: {str(mistake)[:200]}", False, time.process_time() - begin)
    return Verdict("", False, time.process_time() - begin)


def fault_of(sentence: str) -> str:
    """What is wrong with a sentence for people, or nothing: it says what to do, is short and plain."""
    if "; " not in sentence and "must" not in sentence:
        return f"no sentence: {sentence[:200]!r}"
    if len(sentence) > LONGEST_SENTENCE:
        return f"a sentence of {len(sentence)} signs: {sentence[:160]!r}"
    if any(ord(sign) < 32 or ord(sign) == 127 for sign in sentence):
        return f"control signs in a sentence: {sentence[:200]!r}"
    return ""


def listed(folder: Path) -> dict[str, bytes]:
    """Every file below a folder with its bytes."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def section_text() -> str:
    """Coordinates of a thin section, of a formula."""
    import numpy as np  # noqa: PLC0415 - only here

    x = 0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, 40)))
    half = 0.45 * (0.2969 * np.sqrt(x) - 0.126 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1036 * x**4)
    middle = 0.08 * x * (1.0 - x)
    points = [
        *zip(x[::-1], (middle + half)[::-1], strict=True),
        *zip(x[1:], (middle - half)[1:], strict=True),
    ]
    return "Hill 7\n" + "".join(f"{a:.6f} {b:.6f}\n" for a, b in points)


MAP = """\
delimiter = "comma"
decimal = "point"
columns = 3
header = ["time (s)", "height (m)", "volts (V)"]

[[column]]
place = 1
header = "time (s)"
channel = "time_s"
unit = "s"

[[column]]
place = 2
header = "height (m)"
channel = "height_m"
unit = "m"
"""
CHARGES = """\
schema = 1
grade = "measured"

[[charge]]
pack = "pack-2s-550"
date = "2026-05-31"
put_back_mAh = 410
"""
LEARNED = Learned(
    made="2026-06-01",
    flights=4,
    launches=9,
    inputs=(
        LearnedInput(
            name="sink",
            of="",
            title="Sink",
            kind="factor",
            value=1.0,
            low=0.9,
            high=1.1,
            mean=0.2,
            row=(0.5,),
        ),
        LearnedInput(
            name="drag",
            of="",
            title="Drag",
            kind="factor",
            value=1.0,
            low=0.9,
            high=1.1,
            mean=0.1,
            row=(0.1, 0.6),
        ),
    ),
)
