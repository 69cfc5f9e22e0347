"""Lighthouse over every page on a phone, over the main ones on a desk too, and what its grades come
to."""

from __future__ import annotations

import json
import os
import subprocess
import time
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

from .pages import FOUND, MAIN, readers

FOLDER = Path(__file__).parent
PRESETS = ("mobile", "desktop")
CATEGORIES = ("performance", "accessibility", "best-practices", "seo")
AIMS = {"performance": 95, "accessibility": 100, "best-practices": 100, "seo": 95}
TRIES = 3
FOREVER = 1e10
#: Once so long was graded, no page is tried again.
AGAIN_S = 20 * 60
#: By audit: of which pages it is left out, and why.
BY_INTENT = {
    "is-crawlable": (
        set(readers()) - set(FOUND),
        "what is behind the door, and the page about one person, says noindex: search engines "
        "are to keep what is published and nothing else",
    ),
}


class Graded(NamedTuple):
    name: str
    preset: str
    #: By category, of a hundred.
    grades: dict[str, int]
    #: Audits that took marks off.
    failing: list[str]
    tries: int


def graded(base: str, paths: dict[str, str], cookies: dict[str, str]) -> list[Graded]:
    """Each page once on a phone, the main ones on a desk too; one that is below an aim twice more,
    while there is time, and the median of its tries counts: what else the machine does takes marks
    off, and gives none."""
    jobs = [
        {"name": n, "path": paths[n], "preset": p, "cookie": cookies[who]}
        for p in PRESETS
        for n, who in readers().items()
        if p == "mobile" or n in MAIN
    ]
    tries = defaultdict[tuple[str, str], list[Graded]](list)
    again_until = time.time() + AGAIN_S
    for turn in range(TRIES):
        for one in _run(base, jobs, until=again_until if turn else FOREVER):
            tries[one.name, one.preset].append(one)
        jobs = [it for it in jobs if _below(tries[it["name"], it["preset"]])]
    return [median(of) for of in tries.values()]


def median(of: list[Graded]) -> Graded:
    """Category by category; with the audits of the try whose performance is the median."""
    ordered = sorted(of, key=lambda it: it.grades["performance"])
    middle = ordered[(len(of) - 1) // 2]
    grades = {c: sorted(it.grades[c] for it in of)[(len(of) - 1) // 2] for c in CATEGORIES}
    return middle._replace(grades=grades, tries=len(of))


def grade(name: str, category: dict[str, Any]) -> tuple[int, list[str]]:
    """Of a hundred, and the audits that took marks off; those left out by intent count nothing.

    Lighthouse's own way: the mean of the audits' marks by their weights.
    """
    counted = [a for a in category["audits"] if name not in BY_INTENT.get(a["id"], (set(), ""))[0]]
    if len(counted) == len(category["audits"]):
        whole = category["score"]
    else:
        weights = sum(a["weight"] for a in counted)
        whole = sum(a["score"] * a["weight"] for a in counted) / weights
    return int(whole * 100 + 0.5), [a["id"] for a in counted if a["score"] < 0.9]


def _below(of: list[Graded]) -> bool:
    """Whether the last try was below an aim; so is what was not graded at all."""
    return not of or any(of[-1].grades[category] < aim for category, aim in AIMS.items())


def _run(base: str, jobs: list[dict[str, Any]], *, until: float) -> Iterator[Graded]:
    asked = json.dumps(
        {
            "chromium": os.environ["CHROMIUM"],
            "base": base,
            "until": int(until * 1000),
            "jobs": jobs,
        }
    )
    with subprocess.Popen(
        ["node", str(FOLDER / "lighthouse.mjs")],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as node:
        assert node.stdin and node.stdout
        node.stdin.write(asked)
        node.stdin.close()
        paths = {job["name"]: job["path"] for job in jobs}
        for number, line in enumerate(node.stdout, start=1):
            told = json.loads(line)
            print(f"{number} of {len(jobs)}:", end=" ")
            # A Chromium that did not begin in time graded nothing: the next turn asks again.
            if told["fault"]:
                print(told["name"], told["preset"], told["fault"], flush=True)
            else:
                assert told["at"] == paths[told["name"]], told["name"]
                yield _graded(told)
    if node.returncode:
        raise SystemExit("Lighthouse ended early; what it said is above.")


def _graded(told: dict[str, Any]) -> Graded:
    found = {category: grade(told["name"], told["grades"][category]) for category in CATEGORIES}
    failing = [audit for _grade, audits in found.values() for audit in audits]
    grades = {category: of for category, (of, _audits) in found.items()}
    one = Graded(told["name"], told["preset"], grades, failing, 1)
    print(one.name, one.preset, *grades.values(), *failing, flush=True)
    return one
