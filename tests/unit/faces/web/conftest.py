"""The app without a browser and without warm kernels."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from glidewright.faces.web.app import make_app
from glidewright.faces.web.folders import Workshop

BASE = "http://127.0.0.1:8765"
OWN = {"origin": BASE, "sec-fetch-site": "same-origin"}


@pytest.fixture
def workshop(tmp_path: Path, demo_folder: Path) -> Path:
    shutil.copytree(demo_folder, tmp_path / "hill")
    return tmp_path


@pytest.fixture
def client(workshop: Path) -> Iterator[TestClient]:
    app = make_app(Workshop.at(workshop), is_warmed=False)
    with TestClient(app, base_url=BASE, follow_redirects=False) as found:
        yield found
