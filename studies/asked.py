"""Requests of all kinds to the pages, sound ones with spoiled values: what a broken browser may send.

    python studies/asked.py [REQUESTS] [SEED]

Every answer must be one of the program's own (below 500), every sentence one for people, and the folder must
read as a model after each. What computes in worker processes is not asked for.
"""

import json
import random
import shutil
import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient

from doors import DEMO, fault_of
from glidewright.base.errors import GlidewrightError
from glidewright.faces.web.app import make_app
from glidewright.faces.web.folders import Workshop, revision
from glidewright.store.reading import read_model
from spoiled import spoiled

BASE = "http://127.0.0.1:8765"
OWN = {"origin": BASE, "sec-fetch-site": "same-origin"}
HTML = OWN | {"accept": "text/html"}
_ODD = (
    "", "x", "nan", "inf", "-1", "1e400", "1e308", "0", "5e-324", "9" * 5000, "\u0000", "\x1b[2J", "\ud800",
    'a"b', "a\nb", "'''", '"""', "\u00e9", "[[x]]", "..", "../..", "/etc/passwd", "model.toml",
    "sections/../model.toml", "2026-02-30", "x" * 20_000, "1,5", "1_000", "\u0663", "\u00b2", "true", "none",
)  # fmt: skip
_NUMBERS = (0, 1, -1, 10**30, 2**63, 1.5, 1e300, None, True, False)
_TABLES = (
    "item", "fitted", "weighing", "bench", "outcome", "panel", "control", "motor", "pack", "airframe",
    "launch", "field", "name", "class", "zz", "", "a.b",
)  # fmt: skip
_KEYS = (
    "mass_g", "x_mm", "id", "name", "of", "part", "span_m", "value", "grade", "schema", "note", "cells",
    "voltage_V", "step", "went", "date", "",
)  # fmt: skip
_PLACES: tuple[tuple[Any, ...], ...] = (
    ("airframe", "span_m"), ("item", "canopy", "mass_g"), ("fitted", "motor", "x_mm"), ("class",), ("name",),
    ("weighing", 0, "mass_g"), ("weighing", 0), ("item", "canopy"), ("motor", "m28-1020", "mass_g"),
    ("panel", 0, "span_mm"),
)  # fmt: skip
_BODIES = (
    b"", b"{", b"[]", b"null", b"\xff\xfe", b"[" * 50_000, b'{"keys":' + b"[" * 900 + b"]" * 900 + b"}",
    b'--x\r\nContent-Disposition: form-data; name="f"; filename="../a"\r\n\r\nzz\r\n--x--',
)  # fmt: skip
_ADDRESSES = (
    "/m/..", "/m/%2e%2e/model", "/m/hill/zz", "/static/../app.py", "/static/%2e%2e/app.py",
    "/m/" + "x" * 5000, "/m/%00", "/jobs/zz", "/code", "/",
    "/m/hill/model", "/m/hill/drawer", "/m/hill/text/model.toml", "/new",
    "/m/hill/check/live", "/m/hill/flights/live", "/m/zz/check",
)  # fmt: skip


@dataclass
class Asked:
    """What came of the requests."""

    codes: Counter[int] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)
    slowest_s: float = 0.0


class Hand:
    """Draws requests and sends them."""

    def __init__(self, client: TestClient, folder: Path, draw: random.Random) -> None:
        self.client, self.folder, self.draw = client, folder, draw

    def ask(self) -> Any:
        """Send one request; the answer."""
        way = self.draw.choice(
            [self._set, self._set, self._set, self._add, self._other, self._text, self._rest]
        )
        return way()

    def _odd(self, depth: int = 0) -> Any:
        share = self.draw.random()
        if share < 0.5 or depth > 2:
            return self.draw.choice(_ODD)
        if share < 0.65:
            return self.draw.choice(_NUMBERS)
        if share < 0.75:
            return self.draw.choice(_TABLES + _KEYS)
        several = range(self.draw.randint(0, 3))
        if share < 0.88:
            return [self._odd(depth + 1) for _ in several]
        return {self.draw.choice(_KEYS + _TABLES): self._odd(depth + 1) for _ in several}

    def _or_odd(self, sound: Any, share: float = 0.85) -> Any:
        return sound if self.draw.random() < share else self._odd()

    def _keys(self) -> Any:
        place = list(self.draw.choice(_PLACES))
        if self.draw.random() < 0.4:
            place[self.draw.randrange(len(place))] = self.draw.choice(
                [*_TABLES, *_KEYS, 0, -1, 99, True, 10**30]
            )
        return self._or_odd(place)

    def _post(self, path: str, told: Any) -> Any:
        return self.client.post(f"/m/hill/{path}", headers=OWN, content=json.dumps(told).encode())

    def _place(self) -> dict[str, Any]:
        file = self.draw.choice(["model.toml", "model.toml", "parts/power.toml"])
        return {
            "file": self._or_odd(file),
            "keys": self._keys(),
            "revision": self._or_odd(revision(self.folder), 0.7),
        }

    def _set(self) -> Any:
        told = self._place() | {
            "kind": self._or_odd(self.draw.choice(["number", "count", "text", "choice", "switch", "list"])),
            "text": self._or_odd(self.draw.choice([*_ODD, "1.9", "12"])),
            "grade": self._or_odd(self.draw.choice(["measured", "quoted", ""])),
            "base_grade": "quoted",
        }
        told |= {name: self._odd() for name in ("was", "low", "high", "because") if self.draw.random() < 0.3}
        return self._post("set", told)

    def _add(self) -> Any:
        names = self.draw.sample(_KEYS, self.draw.randint(0, 4))
        kinds = ["number", "text", "list", "switch"]
        fields = {
            name: self._or_odd({"kind": self.draw.choice(kinds), "text": self.draw.choice(_ODD)})
            for name in names
        }
        told = self._place() | {
            "table": self._or_odd(self.draw.choice(_TABLES)),
            "fields": self._or_odd(fields),
        }
        return self._post("add", told)

    def _other(self) -> Any:
        path = self.draw.choice(["remove", "outcome", "put", "undo", "redo", "enter", "nothing"])
        told = self._place()
        told |= {"step": self._or_odd("weigh"), "went": self._or_odd("well"), "date": self._odd()}
        build = {
            "set": [[["fitted", "motor", "part"], self._odd()]],
            "parts": self._odd(),
            "items": self._odd(),
        }
        told["pick"] = json.dumps(self._or_odd(build))
        return self._post(path, self._or_odd(told))

    def _text(self) -> Any:
        text = spoiled(self.draw, (self.folder / "model.toml").read_bytes())[1].decode("utf-8", "replace")
        file = self.draw.choice(
            ["model.toml", "parts/power.toml", "../hill/model.toml", "%2e%2e/x", "zz", "parts%00"]
        )
        told = {"text": text, "revision": revision(self.folder)}
        return self.client.post(f"/m/hill/text/{file}", headers=HTML, data=told)

    def _rest(self) -> Any:
        share = self.draw.random()
        if share < 0.3:
            return self.client.get(self.draw.choice(_ADDRESSES), headers=self.draw.choice([OWN, HTML]))
        if share < 0.5:
            names = self.draw.sample(
                ["name", "span_m", "root_chord_m", "class_id", "motor", "airframe_kg"], 4
            )
            return self.client.post("/new", headers=HTML, data={name: self._word() for name in names})
        if share < 0.7:
            told = {"table": self._word(), "file": self._word()}
            return self.client.get("/m/hill/fields", headers=OWN, params=told)
        kind = self.draw.choice(
            ["application/json", "multipart/form-data; boundary=x", "multipart/form-data"]
        )
        path = self.draw.choice(
            ["set", "add", "remove", "undo", "text/model.toml", "flights/upload", "enter", "put"]
        )
        body = self.draw.choice([*_BODIES, self.draw.randbytes(2000)])
        return self.client.post(f"/m/hill/{path}", headers=OWN | {"content-type": kind}, content=body)

    def _word(self) -> str:
        return str(self._odd())[:3000].encode("utf-8", "replace").decode()


def ask_much(requests: int, seed: int) -> Asked:
    """Send so many requests to the pages of a copy of the demo, which is laid out anew after every 40."""
    found, draw = Asked(), random.Random(seed)
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "hill"
        shutil.copytree(DEMO, folder)
        app = make_app(Workshop.at(Path(place)), is_warmed=False)
        with TestClient(app, base_url=BASE, follow_redirects=False) as client:
            hand = Hand(client, folder, draw)
            for number in range(requests):
                if number % 40 == 0:
                    for other in Path(place).iterdir():
                        shutil.rmtree(other)
                    shutil.copytree(DEMO, folder)
                _judge(hand, found)
    return found


def _judge(hand: Hand, found: Asked) -> None:
    begin = time.monotonic()
    try:
        answer = hand.ask()
        found.codes[answer.status_code] += 1
        if answer.status_code >= 500:
            found.faults.append(f"{answer.status_code} of {answer.request.url}"[:300])
        if "json" in answer.headers.get("content-type", "") and not answer.json().get("ok"):
            sentences = [f"{one['where']}: {one['message']}" for one in answer.json()["errors"]]
            found.faults += [fault for one in sentences if (fault := fault_of(one))]
    except Exception as mistake:  # what must never come out of a page is what is looked for
        found.faults.append(f"{type(mistake).__name__}: {str(mistake)[:200]}")
    found.slowest_s = max(found.slowest_s, time.monotonic() - begin)
    try:
        read_model(hand.folder)
    except GlidewrightError as broken:
        found.faults.append(f"the folder is broken: {str(broken)[:200]}")


if __name__ == "__main__":
    REQUESTS = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    SEED = int(sys.argv[2]) if len(sys.argv) > 2 else 3
    ASKED = ask_much(REQUESTS, SEED)
    print(dict(ASKED.codes), f"slowest {ASKED.slowest_s:.1f} s")
    print(*ASKED.faults, sep="\n")
