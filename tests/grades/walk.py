"""Every page of a served site, once, in one Chromium: by axe and by keyboard."""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import NamedTuple

from playwright.sync_api import Browser, Page, sync_playwright

from .axe_walk import axe_begin, axe_found
from .keys_walk import keys_found
from .pages import readers


class Walked(NamedTuple):
    name: str
    axe: list[str]
    keys: list[str]


def walk(base: str, paths: dict[str, str], cookies: dict[str, str]) -> Iterator[Walked]:
    """What each page is found wanting in."""
    with sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path=os.environ["CHROMIUM"], args=["--no-sandbox", "--disable-gpu"]
        )
        for who in cookies:
            page = _page(browser, base, cookies[who])
            for name in (name for name, reader in readers().items() if reader == who):
                page.goto(base + paths[name])
                page.wait_for_load_state("networkidle")
                keys = keys_found(page)
                yield Walked(name, axe_found(page), keys)
        browser.close()


def _page(browser: Browser, base: str, cookie: str) -> Page:
    context = browser.new_context(service_workers="block")
    if cookie:
        context.add_cookies([{"name": "sessionid", "value": cookie, "url": base}])
    page = context.new_page()
    axe_begin(page)
    return page
