"""Whether a known fault is in what is pinned: for the site, its tests, what phones are sent, and
what grades the pages.

Asks OSV, an open list of known faults, at OSV_URL or its public address, for what the requirements
and the lock files pin. A known fault ends with 1. Where the list cannot be reached it
says so and ends with 0: nothing was checked then. Faults in ACCEPTED are told and let pass.
Source: the list's own description of /v1/querybatch, answers in the order of the questions.
"""

from __future__ import annotations

import json
import os
import re
import sys
import urllib.request
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
URL = os.environ.get("OSV_URL") or "https://api.osv.dev/v1/querybatch"
SECONDS = 20
MOST = 500  # of one request
#: Known faults that do not concern us: id, and why.
ACCEPTED: dict[str, str] = {}
#: Of the phone app and of what grades the pages.
LOCKS = ("web/bank/package-lock.json", "tests/grades/package-lock.json")


def pins(root: Path) -> list[tuple[str, str, str]]:
    """Ecosystem, name and version of everything pinned, without twins."""
    found = {
        ("PyPI", name, version)
        for file in ("requirements.txt", "requirements-test.txt")
        for name, version in re.findall(
            r"^([A-Za-z0-9._-]+)(?:\[[^\]]*\])?==([^\s;\\]+)", (root / file).read_text(), re.M
        )
    }
    for lock in LOCKS:
        for path, package in json.loads((root / lock).read_text())["packages"].items():
            if path:
                found.add(("npm", path.rpartition("node_modules/")[2], package["version"]))
    return sorted(found)


def faults(pinned: list[tuple[str, str, str]]) -> dict[str, list[str]]:
    """By pin, the ids of the faults that are known of it. Raises OSError, ValueError."""
    known: dict[str, list[str]] = {}
    for start in range(0, len(pinned), MOST):
        part = pinned[start : start + MOST]
        asked = [
            {"package": {"ecosystem": ecosystem, "name": name}, "version": version}
            for ecosystem, name, version in part
        ]
        results = _ask({"queries": asked})["results"]
        if len(results) != len(part):
            raise ValueError("it answered for another number of packages")
        for (_ecosystem, name, version), result in zip(part, results, strict=True):
            if ids := [fault["id"] for fault in (result or {}).get("vulns") or []]:
                known[f"{name} {version}"] = ids
    return known


def _ask(body: dict[str, Any]) -> Any:
    request = urllib.request.Request(
        URL, json.dumps(body).encode(), {"Content-Type": "application/json"}
    )
    with urllib.request.urlopen(request, timeout=SECONDS) as answer:
        return json.load(answer)


def main() -> int:
    pinned = pins(ROOT)
    try:
        known = faults(pinned)
    except (OSError, ValueError, KeyError, TypeError) as error:
        print(f"NOT CHECKED: the list of known faults gave no answer ({error}).")
        print(f"{len(pinned)} pinned packages were not looked up. Run this again with a network.")
        return 0
    grave = False
    for pin, ids in known.items():
        for fault in ids:
            why = ACCEPTED.get(fault, "")
            grave = grave or not why
            print(f"{'let pass' if why else 'FAULT'} {pin}: {fault}{why and f' ({why})'}")
    open_ids = "with known faults: update them" if grave else "and no fault that counts is known"
    print(f"{len(pinned)} pinned packages were looked up, {open_ids}.")
    return 1 if grave else 0


if __name__ == "__main__":
    sys.exit(main())
