"""What a page says, read as a person reads it."""

from __future__ import annotations

import re
from decimal import Decimal

from playwright.sync_api import Locator, Page, expect


def cells(page: Page, rows: str) -> list[list[str]]:
    """What the cells of these rows say, once there is one."""
    expect(page.locator(rows).first).to_be_attached()
    found: list[list[str]] = page.locator(rows).evaluate_all(
        "all => all.map((row) => [...row.cells].map((cell) => cell.innerText.trim()))"
    )
    return found


def named(angler: str) -> str:
    """The team below an angler's name."""
    return angler.split("\n")[1]


def said(within: Locator, what: str) -> str:
    return within.locator(what).first.inner_text()


def pounds(text: str) -> Decimal:
    """The amount in what a cell says."""
    return Decimal(re.sub(r"[^0-9.]", "", text))


def caught(grams: int) -> str:
    return f"{grams // 1000}.{grams % 1000:03d} kg" if grams else "blank"
