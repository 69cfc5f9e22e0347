"""The README's pictures, from a running demo: python .ci/scripts/tour.py http://localhost:8000"""

from __future__ import annotations

import os
import sys
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

PASSWORD = "heron-on-the-wend"
FOLDER = Path(__file__).resolve().parents[2] / "web" / "static" / "tour"
PHONE, WIDE = (360, 740), (1280, 800)


def main() -> int:
    site = sys.argv[1].rstrip("/") if len(sys.argv) > 1 else "http://localhost:8000"
    FOLDER.mkdir(exist_ok=True)
    with sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path=os.environ.get("CHROMIUM", "/usr/bin/chromium"),
            args=["--no-sandbox", "--disable-gpu"],
        )
        captain_pictures(browser, site)
        plan_pictures(browser, site)
        member_pictures(browser, site)
        secretary_pictures(browser, site)
    print(f"{len(list(FOLDER.glob('*.png')))} pictures in web/static/tour")
    return 0


def captain_pictures(browser: Browser, site: str) -> None:
    page = signed_in(browser, site, "maud", WIDE)
    page.goto(site + "/desk/")
    page.get_by_role("link", name="Bend League").first.click()
    page.get_by_role("link", name="plans and order").first.click()
    picture(page, "team-1280")
    page.goto(page.url.rstrip("/") + "/order/")
    page.locator("#sum-head").evaluate("e => e.scrollIntoView()")
    picture(page, "order-1280")
    page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
    page.locator("#sum-head").evaluate("e => e.scrollIntoView()")
    picture(page, "order-360")
    # The finished match's order is bagged and paid.
    page.goto(site + "/desk/")
    page.get_by_text("earlier match").click()
    page.get_by_role("link", name="Meadow Shield").first.click()
    page.get_by_role("link", name="plans and order").first.click()
    page.get_by_role("link", name="Bags", exact=True).click()
    page.locator(".bag-cards > section").first.scroll_into_view_if_needed()
    page.mouse.wheel(0, 500)
    picture(page, "bags-360")
    page.get_by_role("link", name="Kitty", exact=True).click()
    picture(page, "kitty-360")
    page.goto(site + "/desk/")
    page.get_by_text("earlier match").click()
    page.get_by_role("link", name="Meadow Shield").first.click()
    page.get_by_role("link", name="My review").click()
    page.locator("#said-head").scroll_into_view_if_needed()
    picture(page, "review-360")
    page.locator("#day-head").evaluate("e => e.scrollIntoView()")
    picture(page, "day-360")


def plan_pictures(browser: Browser, site: str) -> None:
    page = signed_in(browser, site, "wilmot", PHONE)
    page.goto(site + "/desk/")
    page.get_by_role("link", name="Bend League").first.click()
    page.get_by_role("link", name="My plan").first.click()
    page.locator(".plan-picture").scroll_into_view_if_needed()
    picture(page, "plan-360")


def member_pictures(browser: Browser, site: str) -> None:
    page = signed_in(browser, site, "tamsin", PHONE)
    page.goto(site + "/bank/")
    page.get_by_text("Bend Knock-up").click()
    page.get_by_role("link", name="Weigh in").click()
    page.get_by_text("to weigh").first.click()
    for key in "2345":
        page.get_by_role("button", name=key, exact=True).click()
    picture(page, "weigh-360")
    page.goto(site + "/bank/#/phone")
    page.get_by_role("heading", name="On this phone").wait_for()
    picture(page, "kept-360")
    page = signed_in(browser, site, "wilmot", PHONE)
    page.goto(site + "/bank/")
    page.get_by_text("Bend Knock-up").click()
    page.get_by_role("link", name="Log feed").click()
    page.locator(".stands").wait_for()
    picture(page, "feed-360")
    page.goto(page.url.replace("/feed", "/swim"))
    page.locator(".landed li").first.wait_for()
    page.locator(".swim-set").scroll_into_view_if_needed()
    picture(page, "swim-360")


def secretary_pictures(browser: Browser, site: str) -> None:
    page = signed_in(browser, site, "idris", WIDE)
    page.get_by_role("link", name="Bend Knock-up").first.click()
    page.get_by_role("link", name="Weigh board").first.click()
    picture(page, "weigh-board-1280")
    page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
    page.goto(site + "/desk/")
    page.get_by_role("link", name="Bend League").first.click()
    page.get_by_role("link", name="Pegs and sections").first.click()
    page.locator(".strip").first.scroll_into_view_if_needed()
    picture(page, "sections-360")
    page.goto(site + "/board/otterbeck/")
    page.locator("main a[href*='/leagues/']").first.click()
    picture(page, "league-360")
    page.goto(site + "/board/otterbeck/")
    page.locator("main a[href*='meadow-shield']").first.click()
    picture(page, "board-360")


def signed_in(browser: Browser, site: str, name: str, size: tuple[int, int]) -> Page:
    page = browser.new_page(viewport={"width": size[0], "height": size[1]})
    page.goto(site + "/sign-in/")
    page.fill("[name=username]", name)
    page.fill("[name=password]", PASSWORD)
    page.locator("main form button[type=submit]").click()
    page.wait_for_url("**/desk/")
    return page


def picture(page: Page, name: str) -> None:
    page.wait_for_load_state("load")
    page.screenshot(path=FOLDER / f"{name}.png", animations="disabled")


if __name__ == "__main__":
    raise SystemExit(main())
