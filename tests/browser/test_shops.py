"""A captain keeps a shop's prices on a phone: a wrong list mended, looked at, then imported."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page, expect

from bait.models import Bait, BaitKind, Pack
from tests.browser.conftest import FaultsSeen

PRESSED = "main button, main a.button, main summary, main select, main input:not([type=checkbox])"
HEAD = "bait;amount;unit;price;from_packs;break_price;max_packs\n"
WRONG = HEAD + "Caster;1;pint;4,40;10;3,90;\nMagot;1;pint;3,40;;;\nRiver mix;2;bucket;9,20;;;\n"
RIGHT = (
    HEAD
    + "Caster;1;pint;4,40;10;3,90;\nCaster;4;pint;15,30;;;2\nRed maggot;1;pint;3,40;8;3,10;\n"
    + "River mix;2;kg;9,20;5;8,60;\n"
)


def shelves(world: Any) -> None:
    for key, name, kind, unit, density in (
        ("maggot", "Red maggot", BaitKind.ANIMAL, "pint", None),
        ("river-mix", "River mix", BaitKind.GROUNDBAIT, "L", "0.5"),
    ):
        Bait.objects.create(
            club=world.club,
            key=key,
            name=name,
            kind=kind,
            unit=unit,
            bulk_density_kg_per_l=density,
        )


def list_choose(page: Page, text: str) -> None:
    page.set_input_files(
        "input[name=file]",
        {"name": "prices.csv", "mimeType": "text/csv", "buffer": text.encode("utf-8-sig")},
    )
    with page.expect_navigation():
        page.get_by_role("button", name="Show what would change").click()


def test_a_captain_imports_a_price_list_without_scripts(lasting_world: Any, signed_in: Any) -> None:
    shelves(lasting_world)
    page = signed_in("maud", 360, java_script_enabled=False)
    page.get_by_role("link", name="Shops and prices").click()
    page.get_by_role("link", name="Hobday's Hut").click()
    page.get_by_role("link", name="Import a list").click()
    list_choose(page, WRONG)
    expect(page.get_by_role("heading", name="Nothing is imported")).to_be_visible()
    expect(page.get_by_role("alert")).to_contain_text("no bait of this name")
    list_choose(page, RIGHT)
    expect(page.get_by_text("3 new, 1 changed, 0 brought back, 0 as they are.")).to_be_visible()
    page.get_by_label("Hemp, 1 pint").check()
    page.get_by_role("button", name="Import these prices").click()
    expect(
        page.get_by_text("Imported: 3 new, 1 changed, 0 brought back, 1 retired.")
    ).to_be_visible()
    assert Pack.objects.filter(retired=False).count() == 4
    page.get_by_text("1 retired pack").click()
    page.get_by_role("button", name="Bring back Hemp, 1 pint").click()
    expect(page.get_by_text("Hemp, 1 pint is in the list again.")).to_be_visible()


def test_pages_of_shops_and_baits_fit_and_read_well(
    lasting_world: Any, signed_in: Any, faults_seen: FaultsSeen
) -> None:
    shelves(lasting_world)
    page = signed_in("maud", 360)
    seen: dict[str, list[str]] = {}

    def see(name: str) -> None:
        seen[name] = faults_seen(page, name, pressed=PRESSED)

    see("desk-home")
    page.goto("/desk/shops/otterbeck/")
    see("shops")
    page.goto("/desk/shops/otterbeck/hut/list/")
    list_choose(page, WRONG)
    see("list-wrong")
    list_choose(page, RIGHT)
    see("list-looked-at")
    page.get_by_role("button", name="Import these prices").click()
    page.get_by_text("Added by mistake?").click()
    see("shop")
    page.get_by_role("link", name="Change Caster, 1 pint").click()
    page.get_by_label("Price of one pack").fill("lots")
    with page.expect_navigation():
        page.get_by_role("button", name="Save the price").click()
    see("pack")
    page.goto("/desk/shops/otterbeck/hut/packs/")
    see("pack-new")
    page.goto("/desk/baits/otterbeck/")
    page.get_by_text("Add a bait").click()
    see("baits")
    page.goto("/desk/baits/otterbeck/river-mix/")
    see("bait")
    assert seen == {name: [] for name in seen}
