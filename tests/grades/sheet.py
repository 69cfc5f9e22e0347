"""The page of the grades, `web/docs/grades.md`."""

from __future__ import annotations

import datetime as dt
import json
import os
import platform
import subprocess
from collections.abc import Iterable
from pathlib import Path

from .lighthouse import AGAIN_S, AIMS, BY_INTENT, CATEGORIES, PRESETS, Graded
from .walk import Walked

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "web/docs/grades.md"
HEAD = ("page", *(f"{category} {preset}" for preset in PRESETS for category in CATEGORIES), "tries")


def sheet(graded: list[Graded], walked: list[Walked], *, minutes: float) -> str:
    """All of it, in Markdown."""
    return "\n\n".join(
        part for part in (_begin(minutes), _lighthouse(graded), _intent(), _walked(walked)) if part
    )


def rows(graded: list[Graded]) -> list[list[str]]:
    """A row a page: its grades by each preset, and how often it was tried."""
    of = {(one.name, one.preset): one for one in graded}
    made = []
    for name in dict.fromkeys(one.name for one in graded):
        ones = [of.get((name, preset)) for preset in PRESETS]
        grades = [str(one.grades[c]) if one else "–" for one in ones for c in CATEGORIES]
        made.append([name, *grades, str(max(one.tries for one in ones if one))])
    return made


def _begin(minutes: float) -> str:
    told = subprocess.run(
        [os.environ["CHROMIUM"], "--version"], capture_output=True, text=True, check=True
    )
    lock = json.loads((Path(__file__).parent / "package-lock.json").read_text())
    lighthouse = lock["packages"]["node_modules/lighthouse"]["version"]
    load = " ".join(f"{of:.1f}" for of in os.getloadavg())
    return (
        "# Grades of every page\n\n"
        f"Written by `make grades` on {dt.datetime.now(dt.UTC):%Y-%m-%d}: every page of the "
        "invented club, served on loopback as the demo serves it. "
        f"It took {minutes:.0f} minutes.\n\n"
        f"Machine: {os.cpu_count()} processors, load {load} at the end. Lighthouse {lighthouse} "
        f"with its own settings for a phone and a desk, {told.stdout.strip()}, Python "
        f"{platform.python_version()}."
    )


def _lighthouse(graded: list[Graded]) -> str:
    if not graded:
        return ""
    aims = ", ".join(f"{category} {aim}" for category, aim in AIMS.items())
    failing = [
        f"- {one.name}, {one.preset}: {', '.join(one.failing)}" for one in graded if one.failing
    ]
    return "\n".join(
        [
            "## Lighthouse\n",
            f"Aims, of a hundred: {aims}. Every page is graded as on a phone, the main ones as on "
            "a desk too (“–” where not). A page below an aim is tried up to twice more, as far as "
            f"{AGAIN_S // 60} minutes allow, and the median of its tries counts: what else the "
            "machine does takes marks off, and gives none.\n",
            *_table(HEAD, rows(graded)),
            "\nAudits that took marks off:\n",
            *(failing or ["None."]),
        ]
    )


def _intent() -> str:
    return "\n".join(
        [
            "## Left out by intent\n",
            *(f"- `{audit}`, on {len(on)} pages: {why}." for audit, (on, why) in BY_INTENT.items()),
            "- Strict-Transport-Security is sent over https alone, so not here; Lighthouse 12.2 "
            "gives no marks for it, nor for how long files may be kept: ours are asked for anew "
            "after a minute, and answered with 304.",
        ]
    )


def _walked(walked: list[Walked]) -> str:
    if not walked:
        return ""
    return "\n".join(
        [
            "## axe, and by keyboard\n",
            "axe-core with every rule of WCAG 2.2 A and AA and its best practices, in each theme, "
            "360 and 1280 px wide, everything that opens opened. By keyboard: Tab comes to all "
            "that can be pressed or filled in, in the page's order and out again; one sees where "
            "one is; what is pressed is 44 px high on a phone and 24 px elsewhere.\n",
            *_table(
                ("page", "axe", "keyboard"),
                [[it.name, str(len(it.axe)), str(len(it.keys))] for it in walked],
            ),
            "\nFound:\n",
            *(_found(walked) or ["Nothing."]),
        ]
    )


def _found(walked: list[Walked]) -> list[str]:
    return [f"- {it.name}: `{found}`" for it in walked for found in (*it.axe, *it.keys)]


def _table(head: Iterable[str], body: list[list[str]]) -> list[str]:
    names = list(head)
    lines = [names, ["---"] * len(names), *body]
    return ["| " + " | ".join(line) + " |" for line in lines]
