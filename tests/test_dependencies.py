"""What the site is built of: its licences, and whether a known fault in it would be told."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from importlib import metadata
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[1]
#: By SPDX name. They ask for their own text to be kept, no more: fit for a work under Apache-2.0.
FREE = {
    "0BSD", "Apache-2.0", "BSD-2-Clause", "BSD-3-Clause", "CC0-1.0", "ISC", "MIT", "MIT-0",
    "MIT-CMU", "PSF-2.0", "Zlib",
}  # fmt: skip
#: These ask that changes to themselves are given on: fit where they are used as they come, beside
#: the site (tests, or a driver that is installed by who wants it) and never within it.
BESIDE = FREE | {"LGPL-3.0-only", "MPL-2.0"}
#: What packages write that give no SPDX expression.
WRITTEN = {
    "3-Clause BSD License": "BSD-3-Clause",
    "Apache Software License": "Apache-2.0",
    "BSD 3-Clause OR Apache-2.0": "BSD-3-Clause OR Apache-2.0",
    "BSD License": "BSD-3-Clause",
    "MIT License": "MIT",
    "Mozilla Public License 2.0 (MPL 2.0)": "MPL-2.0",
    "Python Software Foundation License": "PSF-2.0",
}
#: A package that names its licence in a file alone, and how that file begins.
IN_A_FILE = {"axe-playwright-python": ("MIT License", "MIT")}


def names(file: str) -> set[str]:
    found = re.findall(r"^([A-Za-z0-9._-]+)(?:\[[^\]]*\])?==", (ROOT / file).read_text(), re.M)
    return {re.sub(r"[-_.]+", "-", name).lower() for name in found}


def licences(name: str) -> str:
    """An SPDX expression of what the installed package says of itself; "" where it says nothing."""
    told = metadata.metadata(name)
    if name in IN_A_FILE:
        begins, is_it = IN_A_FILE[name]
        files = metadata.files(name) or []
        texts = [f.read_text() for f in files if f.name == "LICENSE"]
        return is_it if texts and texts[0].strip().startswith(begins) else ""
    if expression := told.get("License-Expression"):
        return expression
    classed = [c for c in told.get_all("Classifier") or [] if c.startswith("License ::")]
    said = [c.rpartition(":: ")[2] for c in classed] or [told.get("License", "").strip()]
    return " OR ".join(WRITTEN.get(one, one) for one in said)


def fits(expression: str, *, allowed: set[str]) -> bool:
    """One side of each OR is enough; of an AND all are needed."""
    sides = [re.split(r"\s+AND\s+", side) for side in re.split(r"\s+OR\s+", expression)]
    return any(all(one.strip("() ") in allowed for one in side) for side in sides)


@pytest.mark.parametrize(
    ("file", "allowed"), [("requirements.txt", FREE), ("requirements-test.txt", BESIDE)]
)
def test_every_package_has_a_licence_that_fits_ours(file: str, allowed: set[str]) -> None:
    found = {name: licences(name) for name in names(file)}
    assert len(found) > 20
    assert {n: told for n, told in found.items() if not fits(told, allowed=allowed)} == {}


@pytest.mark.parametrize(
    ("expression", "fit"),
    [
        ("MIT", True),
        ("GPL-3.0-only", False),
        ("GPL-2.0-only OR MIT", True),
        ("MIT AND GPL-2.0-only", False),
        ("", False),
    ],
)
def test_a_licence_that_does_not_fit_is_seen(expression: str, fit: bool) -> None:
    assert fits(expression, allowed=FREE) is fit


# ---- known faults --------------------------------------------------------------------------------


class Faults(BaseHTTPRequestHandler):
    """Answers as the list of known faults does: a result a query, in the same order."""

    known: dict[str, list[str]] = {}
    asked: list[dict[str, Any]] = []
    whole = True

    def do_POST(self) -> None:
        body = json.loads(self.rfile.read(int(self.headers["Content-Length"])))
        Faults.asked += body["queries"]
        results: list[dict[str, Any]] = []
        for query in body["queries"]:
            ids = self.known.get(query["package"]["name"], [])
            results.append({"vulns": [{"id": one} for one in ids]} if ids else {})
        self.send_response(200)
        self.end_headers()
        self.wfile.write(json.dumps({"results": results if self.whole else results[1:]}).encode())

    def log_message(self, *_args: Any) -> None:
        """Nothing: the tests look at what was asked."""


@pytest.fixture
def listed() -> Iterator[str]:
    Faults.known, Faults.asked, Faults.whole = {}, [], True
    server = ThreadingHTTPServer(("127.0.0.1", 0), Faults)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    server.server_close()


def audit(url: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, ".ci/scripts/audit.py"],
        cwd=ROOT,
        env=os.environ | {"OSV_URL": url, "no_proxy": "127.0.0.1"},
        capture_output=True,
        text=True,
    )


def test_a_known_fault_fails_the_audit_and_names_the_package(listed: str) -> None:
    Faults.known = {"django": ["GHSA-0000-0000-0001"], "lit": ["GHSA-0000-0000-0002"]}
    done = audit(listed)
    assert done.returncode == 1, done.stderr
    assert re.search(r"^FAULT django \d[\d.]*: GHSA-0000-0000-0001$", done.stdout, re.M)
    assert "GHSA-0000-0000-0002" in done.stdout


def test_the_audit_asks_for_all_that_is_pinned_and_passes_without_a_fault(listed: str) -> None:
    done = audit(listed)
    assert done.returncode == 0, done.stderr
    assert "no fault that counts is known" in done.stdout
    kinds = {(q["package"]["ecosystem"], q["package"]["name"].lower()) for q in Faults.asked}
    wanted = names("requirements.txt") | names("requirements-test.txt")
    asked = {re.sub(r"[-_.]+", "-", name) for ecosystem, name in kinds if ecosystem == "PyPI"}
    assert asked == wanted
    assert {("npm", "lit"), ("npm", "dexie"), ("npm", "lighthouse")} <= kinds
    assert all(query["version"] for query in Faults.asked)


@pytest.mark.parametrize("how", ["away", "torn"])
def test_without_an_answer_the_audit_says_that_nothing_was_checked(listed: str, how: str) -> None:
    Faults.whole = False
    done = audit("http://127.0.0.1:9/" if how == "away" else listed)
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("NOT CHECKED")
