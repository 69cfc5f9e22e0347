"""Shops, packs, baits and whole price lists: what changes, what is refused, what stays."""

from __future__ import annotations

from typing import Any

import pytest

from bait.models import Bait, LarderLot, Pack, PackBreak, Shop
from bait.reads.price_lists import price_list_compare
from bait.reads.shops import baits_listed, baits_of, packs_of
from bait.reckon.price_list import pack_read, price_list_parse
from bait.reckon.price_rows import ListLine
from bait.writes.baits import bait_add, bait_change, bait_delete, bait_packs_retire
from bait.writes.orders import order_ask, order_version_make
from bait.writes.packs import (
    pack_add,
    pack_bring_back,
    pack_delete,
    pack_prices_change,
    pack_retire,
)
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from bait.writes.price_lists import price_list_import
from bait.writes.shop_content import bait_content_parse, shop_terms_parse
from bait.writes.shops import shop_add, shop_bring_back, shop_change, shop_delete, shop_retire
from matches.models import AuditEntry, Membership, Role, Team
from matches.problems import Code, Problem
from matches.reckon.errors import BadInput

TERMS = {
    "name": "Reel & Riddle",
    "delivery_fee": "5,50",
    "minimum_spend": "15",
    "free_delivery_from": "",
    "lead_days": "2",
    "cut_off": "16:30",
}
BAIT = {"name": "Pinkie", "kind": "animal", "unit": "pint", "family": ""}
HEAD = "bait,amount,unit,price,from_packs,break_price,max_packs\n"
SAME = HEAD + "Caster,1,pint,4.20,10,3.80,\nHemp,1,pint,1.50,,,\n"


def listed(world: Any, text: str) -> tuple[ListLine, ...]:
    return price_list_parse(text, baits=baits_listed(baits_of(world.club)))


def line(world: Any, **fields: str) -> ListLine:
    given = {"bait": "caster", "amount": "2", "unit": "pint", "price": "8", **fields}
    return pack_read(given, baits=baits_listed(baits_of(world.club)))


def rows(world: Any) -> list[tuple[str, str, int, list[tuple[int, int]], bool]]:
    return [
        (
            pack.bait.key,
            f"{pack.amount.normalize():f} {pack.unit}",
            pack.price_pence,
            [(b.from_packs, b.price_pence) for b in pack.breaks.all()],
            pack.retired,
        )
        for pack in packs_of(world.shops["hut"])
    ]


def ordered(world: Any) -> None:
    """An order that buys casters, and so chose from the shop's list."""
    raw = {
        "version": 0,
        "stages": [
            {
                "kind": "feed",
                "end_minute": 300,
                "feeds": [{"bait": "caster", "amount": "2", "unit": "pint"}],
            }
        ],
    }
    plan_save(world.secretary, entry=world.entries["Maud"], content=plan_content_parse(raw))
    _order, work = order_ask(world.captain, team=world.alders, match=world.match)
    order_version_make(work.pk)


# Who may -------------------------------------------------------------------------------------


def test_members_rivals_and_outsiders_keep_no_shops(world: Any) -> None:
    for who in (world.member, world.rival, world.weigher, world.outsider):
        with pytest.raises(Problem) as caught:
            shop_add(who, club=world.club, terms=shop_terms_parse(TERMS))
        assert caught.value.code is Code.NOT_ALLOWED
        with pytest.raises(Problem):
            price_list_import(who, shop=world.shops["hut"], lines=listed(world, SAME))
    assert Shop.objects.count() == 1
    assert AuditEntry.objects.count() == 0


def test_a_visiting_teams_captain_keeps_no_shops(world: Any) -> None:
    rovers = Team.objects.create(club=world.club, name="Larkmill Rovers", visitors=True)
    Membership.objects.create(club=world.club, person=world.rival, role=Role.CAPTAIN, team=rovers)
    with pytest.raises(Problem):
        shop_retire(world.rival, shop=world.shops["hut"])
    assert not Shop.objects.get().retired


# Shops ---------------------------------------------------------------------------------------


def test_a_captain_adds_a_shop_with_its_terms(world: Any) -> None:
    shop = shop_add(world.captain, club=world.club, terms=shop_terms_parse(TERMS))
    shop.refresh_from_db()
    assert (shop.key, shop.delivery_fee_pence, shop.minimum_spend_pence) == (
        "reel-riddle",
        550,
        1500,
    )
    assert (shop.free_delivery_from_pence, shop.lead_days, f"{shop.cut_off:%H:%M}") == (
        None,
        2,
        "16:30",
    )
    assert AuditEntry.objects.get().verb == "shop.added"


def test_a_shops_name_is_its_own(world: Any) -> None:
    terms = shop_terms_parse({**TERMS, "name": "hobday's hut"})
    with pytest.raises(BadInput) as caught:
        shop_add(world.captain, club=world.club, terms=terms)
    assert caught.value.faults[0].pointer == "/name"


def test_wrong_terms_are_told_all_at_once() -> None:
    wrong = {
        "name": " ",
        "delivery_fee": "£4",
        "minimum_spend": "-1",
        "free_delivery_from": "1000000",
        "lead_days": "two",
        "cut_off": "25:00",
    }
    with pytest.raises(BadInput) as caught:
        shop_terms_parse(wrong)
    assert [f.pointer for f in caught.value.faults] == [f"/{key}" for key in wrong]


def test_changed_terms_are_on_record_and_the_same_again_is_nothing(world: Any) -> None:
    hut, terms = world.shops["hut"], shop_terms_parse({**TERMS, "name": "Hobday's Hut"})
    assert shop_change(world.captain, shop=hut, terms=terms)
    assert not shop_change(world.captain, shop=hut, terms=terms)
    entry = AuditEntry.objects.get()
    assert entry.detail["delivery_fee_pence"] == [0, 550]
    assert entry.detail["cut_off"] == ["17:00:00", "16:30:00"]


def test_a_shop_retires_and_comes_back(world: Any) -> None:
    for _twice in range(2):
        shop_retire(world.captain, shop=world.shops["hut"])
    assert Shop.objects.get().retired
    shop_bring_back(world.secretary, shop=world.shops["hut"])
    assert not Shop.objects.get().retired
    assert list(AuditEntry.objects.values_list("verb", flat=True)) == [
        "shop.back",
        "shop.retired",
    ]


def test_a_shop_an_order_names_is_not_deleted(world: Any) -> None:
    ordered(world)
    with pytest.raises(Problem) as caught:
        shop_delete(world.captain, shop=world.shops["hut"])
    assert caught.value.code is Code.CONFLICT
    assert caught.value.detail.startswith("1 order names Hobday's Hut")
    assert "Retire it instead" in caught.value.detail
    assert Pack.objects.count() == 2


def test_a_shop_no_order_names_is_deleted_with_its_packs(world: Any) -> None:
    shop_delete(world.captain, shop=world.shops["hut"])
    assert (Shop.objects.count(), Pack.objects.count(), PackBreak.objects.count()) == (0, 0, 0)
    with pytest.raises(Problem) as caught:
        shop_delete(world.captain, shop=world.shops["hut"])
    assert caught.value.code is Code.NOT_FOUND


# Packs ---------------------------------------------------------------------------------------


def test_a_pack_is_added_priced_anew_and_retired(world: Any) -> None:
    hut = world.shops["hut"]
    pack = pack_add(world.captain, shop=hut, line=line(world, from_packs="3", break_price="7"))
    assert pack.key == "caster-2-pint"
    assert ("caster", "2 pint", 800, [(3, 700)], False) in rows(world)
    assert pack_prices_change(world.captain, pack=pack, prices=line(world, price="7,50").prices)
    assert not pack_prices_change(world.captain, pack=pack, prices=line(world, price="7.5").prices)
    assert ("caster", "2 pint", 750, [], False) in rows(world)
    pack_retire(world.captain, pack=pack)
    assert ("caster", "2 pint", 750, [], True) in rows(world)


def test_a_pack_the_list_has_is_not_added_again(world: Any) -> None:
    with pytest.raises(BadInput, match="change its price"):
        pack_add(world.captain, shop=world.shops["hut"], line=line(world, amount="1"))
    assert Pack.objects.count() == 2


def test_a_retired_pack_added_again_comes_back_as_itself(world: Any) -> None:
    pack_retire(world.captain, pack=world.packs["caster"])
    pack = pack_add(world.captain, shop=world.shops["hut"], line=line(world, amount="1"))
    assert pack.pk == world.packs["caster"].pk
    assert ("caster", "1 pint", 800, [], False) in rows(world)


def test_a_retired_pack_does_not_come_back_beside_its_successor(world: Any) -> None:
    old = world.packs["caster"]
    pack_retire(world.captain, pack=old)
    Pack.objects.create(
        shop=old.shop, bait=old.bait, key="other", amount=1, unit="pint", price_pence=1
    )
    with pytest.raises(Problem) as caught:
        pack_bring_back(world.captain, pack=old)
    assert caught.value.code is Code.CONFLICT


def test_a_pack_an_order_chose_from_is_not_deleted_though_it_was_not_bought(world: Any) -> None:
    dearer = pack_add(world.captain, shop=world.shops["hut"], line=line(world, price="99"))
    ordered(world)
    with pytest.raises(Problem, match="Retire it instead"):
        pack_delete(world.captain, pack=dearer)
    pack_delete(world.captain, pack=world.packs["hemp"])
    assert Pack.objects.filter(pk=world.packs["hemp"].pk).count() == 0


# Price lists ---------------------------------------------------------------------------------


def test_a_list_says_what_it_would_change_before_it_does(world: Any) -> None:
    text = HEAD + "Caster,1,pint,4.40,10,3.80,\nCaster,4,pint,15,,,2\n"
    compared = price_list_compare(world.shops["hut"], lines=listed(world, text))
    assert [(r.line.row, r.before.price if r.before else None) for r in compared.changed] == [
        (2, 420)
    ]
    assert [r.line.row for r in compared.new] == [3]
    assert [pack.key for pack in compared.gone] == ["hemp-pint"]
    assert compared.changes == 2
    assert len(rows(world)) == 2


def test_an_import_makes_the_list_so_and_twice_is_once(world: Any) -> None:
    lines = listed(world, HEAD + "Caster,1,pint,4.40,10,3.80,\nCaster,4,pint,15,,,2\n")
    done = price_list_import(world.captain, shop=world.shops["hut"], lines=lines)
    assert (done.new, done.changed, done.back, done.retired) == (1, 1, 0, 0)
    expected = [
        ("caster", "1 pint", 440, [(10, 380)], False),
        ("caster", "4 pint", 1500, [], False),
        ("hemp", "1 pint", 150, [], False),
    ]
    assert rows(world) == expected
    again = price_list_import(world.captain, shop=world.shops["hut"], lines=lines)
    assert not again.anything
    assert rows(world) == expected
    assert AuditEntry.objects.filter(verb="price_list.imported").count() == 1


def test_what_the_list_no_longer_has_is_retired_only_when_asked(world: Any) -> None:
    lines = listed(world, HEAD + "Caster,1,pint,4.20,10,3.80,\n")
    ids = {pack.pk for pack in world.packs.values()}
    done = price_list_import(world.captain, shop=world.shops["hut"], lines=lines, retire=ids)
    assert (done.changed, done.retired) == (0, 1)
    assert [(bait, retired) for bait, *_rest, retired in rows(world)] == [
        ("caster", False),
        ("hemp", True),
    ]
    back = price_list_import(world.captain, shop=world.shops["hut"], lines=listed(world, SAME))
    assert (back.new, back.back) == (0, 1)
    assert Pack.objects.count() == 2


def test_packs_of_another_shop_are_never_retired_by_a_list(world: Any) -> None:
    other = shop_add(world.captain, club=world.club, terms=shop_terms_parse(TERMS))
    lines = listed(world, HEAD + "Caster,1,pint,4.20,,,\n")
    price_list_import(world.captain, shop=other, lines=lines, retire=[world.packs["hemp"].pk])
    assert not Pack.objects.get(pk=world.packs["hemp"].pk).retired


def test_a_long_list_takes_few_queries(world: Any, django_assert_max_num_queries: Any) -> None:
    text = HEAD + "".join(f"Caster,{n},pint,{n}.00,5,{n - 1}.50,\n" for n in range(2, 1002))
    lines = listed(world, text)
    with django_assert_max_num_queries(40):
        price_list_import(world.captain, shop=world.shops["hut"], lines=lines)
    changed = listed(world, text.replace(".50,", ".40,"))
    with django_assert_max_num_queries(50):
        done = price_list_import(world.captain, shop=world.shops["hut"], lines=changed)
    assert done.changed == 1000
    assert PackBreak.objects.filter(price_pence=140).count() == 1


# Baits ---------------------------------------------------------------------------------------


def test_a_bait_is_added_and_its_name_is_its_own(world: Any) -> None:
    bait = bait_add(world.captain, club=world.club, content=bait_content_parse(BAIT))
    assert (bait.key, bait.unit, bait.bulk_density_kg_per_l) == ("pinkie", "pint", None)
    for name in ("PINKIE", "hemp"):
        with pytest.raises(BadInput):
            bait_add(
                world.captain, club=world.club, content=bait_content_parse({**BAIT, "name": name})
            )


def test_a_wrong_bait_is_told_all_at_once() -> None:
    with pytest.raises(BadInput) as caught:
        bait_content_parse(
            {"name": "", "kind": "", "unit": "", "density": "0", "bag": "x", "family": "fish"}
        )
    assert [f.pointer for f in caught.value.faults] == [
        "/name",
        "/kind",
        "/unit",
        "/density",
        "/bag",
        "/family",
    ]


def test_a_unit_in_which_its_packs_cannot_be_counted_is_refused(world: Any) -> None:
    content = bait_content_parse({**BAIT, "name": "Caster", "unit": "kg"})
    with pytest.raises(BadInput) as caught:
        bait_change(world.captain, bait=world.baits["caster"], content=content)
    assert caught.value.faults[0].pointer == "/unit"
    assert "pint" in caught.value.faults[0].message
    dense = bait_content_parse({**BAIT, "name": "Caster", "unit": "kg", "density": "0,6"})
    assert bait_change(world.captain, bait=world.baits["caster"], content=dense)
    assert AuditEntry.objects.get().detail["unit"] == ["pint", "kg"]


def test_a_bait_that_is_named_is_not_deleted_and_says_by_what(world: Any) -> None:
    ordered(world)
    LarderLot.objects.create(team=world.alders, bait=world.baits["caster"], amount=0, unit="pint")
    with pytest.raises(Problem) as caught:
        bait_delete(world.captain, bait=world.baits["caster"])
    assert caught.value.detail.startswith(
        "Caster is named by 1 plan, 1 order, 1 lot of a larder, so it cannot be deleted."
    )
    assert bait_packs_retire(world.captain, bait=world.baits["caster"]) == 1
    assert bait_packs_retire(world.captain, bait=world.baits["caster"]) == 0
    assert Bait.objects.count() == 2


def test_a_bait_that_nothing_names_is_deleted_with_its_packs(world: Any) -> None:
    bait_delete(world.captain, bait=world.baits["hemp"])
    assert list(Bait.objects.values_list("key", flat=True)) == ["caster"]
    assert Pack.objects.count() == 1
