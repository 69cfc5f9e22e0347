"""What the database itself refuses, whatever the code above it does."""

from __future__ import annotations

import datetime as dt
import uuid
from decimal import Decimal
from typing import Any

import pytest
from django.db import IntegrityError, transaction

from bait import models as b
from matches import models as m


def assert_refused(name: str, make: Any) -> None:
    """`make()` breaks the constraint `name`, and nothing is written."""
    with pytest.raises(IntegrityError) as error, transaction.atomic():
        make()
    said = str(error.value)
    # SQLite names a unique constraint on plain columns by its columns only.
    assert name in said or "UNIQUE constraint failed" in said


def fact(world: Any, **changes: Any) -> m.Fact:
    values = {
        "id": uuid.uuid4(),
        "club": world.club,
        "match": world.match,
        "device": uuid.uuid4(),
        "seq": 1,
        "kind": "weigh_in",
        "peg": "1",
        "recorded_at": dt.datetime(2026, 6, 20, 14, tzinfo=dt.UTC),
        "body": {"net": 1, "weight": 4250, "unit": "g", "witness": None},
        "digest": "0" * 64,
        "author": world.member,
        "cseq": 1,
    }
    return m.Fact.objects.create(**(values | changes))


def test_an_angler_enters_a_match_once(world: Any) -> None:
    entry = world.entries["Maud"]
    assert_refused(
        "angler_once_in_match",
        lambda: m.Entry.objects.create(match=world.match, angler=entry.angler, team=entry.team),
    )


def test_a_peg_is_in_one_section_of_a_match(world: Any) -> None:
    assert_refused(
        "peg_in_one_section_of_match",
        lambda: m.SectionPeg.objects.create(
            match=world.match, section=world.sections["B"], peg=world.pegs["1"].peg
        ),
    )


def test_two_anglers_cannot_draw_one_peg(world: Any) -> None:
    def sit_together() -> None:
        drawn = world.entries["Perrin"].drawn_peg
        drawn.section_peg = world.pegs["1"]
        drawn.save()

    assert_refused("section_peg_id", sit_together)


def test_a_captain_has_a_team_and_nobody_else_has(world: Any) -> None:
    for role, team in [("captain", None), ("member", world.alders)]:
        assert_refused(
            "membership_captain_has_team",
            lambda role=role, team=team: m.Membership.objects.create(
                club=world.club, person=world.rival, role=role, team=team
            ),
        )


def test_the_same_role_is_given_once(world: Any) -> None:
    assert_refused(
        "membership_once",
        lambda: m.Membership.objects.create(
            club=world.club, person=world.member, role=m.Role.MEMBER
        ),
    )


def test_a_match_ends_after_it_starts(world: Any) -> None:
    def turn_round() -> None:
        m.Match.objects.filter(pk=world.match.pk).update(end_at=world.match.start_at)

    assert_refused("match_ends_after_start", turn_round)


def test_one_weight_stands_for_a_net(world: Any) -> None:
    for n in (1, 2):
        made = fact(world, cseq=n)
        if n == 1:
            m.WeighIn.objects.create(
                match=world.match, section_peg=world.pegs["1"], net=1, weight=4250, fact=made
            )
    assert_refused(
        "one_weight_stands_per_net",
        lambda: m.WeighIn.objects.create(
            match=world.match, section_peg=world.pegs["1"], net=1, weight=4300, fact=made
        ),
    )
    m.WeighIn.objects.create(
        match=world.match,
        section_peg=world.pegs["1"],
        net=1,
        weight=4300,
        stands=False,
        fact=made,
    )
    assert m.WeighIn.objects.count() == 2


def test_a_club_numbers_each_fact_once(world: Any) -> None:
    fact(world)
    assert_refused("fact_cseq_in_club", lambda: fact(world))


@pytest.mark.parametrize("change", [{"peg": "2"}, {"cseq": 9}, {"digest": "1" * 64}, {"seq": 7}])
def test_a_stored_fact_cannot_be_changed(world: Any, change: dict[str, Any]) -> None:
    made = fact(world)
    with pytest.raises(IntegrityError, match="fixed once written"), transaction.atomic():
        m.Fact.objects.filter(pk=made.pk).update(**change)
    made.refresh_from_db()
    assert (made.peg, made.cseq, made.seq) == ("1", 1, 1)


def test_erasing_a_person_may_still_redact_a_facts_body(world: Any) -> None:
    made = fact(world)
    m.Fact.objects.filter(pk=made.pk).update(body={})
    made.refresh_from_db()
    assert made.body == {}


def test_a_published_bulletin_cannot_be_changed(world: Any) -> None:
    bulletin = m.Bulletin.objects.create(
        match=world.match,
        number=1,
        body={"winner": "Maud Ferris"},
        digest="0" * 64,
        published_by=world.secretary,
    )
    with pytest.raises(IntegrityError, match="fixed once written"), transaction.atomic():
        m.Bulletin.objects.filter(pk=bulletin.pk).update(body={"winner": "Odette Marl"})
    bulletin.refresh_from_db()
    assert bulletin.body == {"winner": "Maud Ferris"}


def test_a_correction_says_why(world: Any) -> None:
    assert_refused(
        "bulletin_correction_has_reason",
        lambda: m.Bulletin.objects.create(
            match=world.match,
            number=2,
            body={},
            digest="0" * 64,
            published_by=world.secretary,
        ),
    )


def test_amounts_of_bait_are_above_zero(world: Any) -> None:
    for amount in (Decimal(0), Decimal(-1)):
        assert_refused(
            "pack_amount_above_zero",
            lambda amount=amount: b.Pack.objects.create(
                shop=world.shops["hut"],
                bait=world.baits["hemp"],
                key="odd",
                amount=amount,
                unit="L",
                price_pence=100,
            ),
        )


def test_the_larder_never_goes_below_zero(world: Any) -> None:
    assert_refused(
        "lot_not_negative",
        lambda: b.LarderLot.objects.create(
            team=world.alders, bait=world.baits["hemp"], amount=Decimal("-0.1"), unit="L"
        ),
    )


def test_an_order_version_adds_up(world: Any) -> None:
    order = b.Order.objects.create(match=world.match, team=world.alders)
    values = {"inputs": {}, "answer": {}, "status": "optimal", "inputs_digest": "0" * 64}
    assert_refused(
        "version_total_adds_up",
        lambda: b.OrderVersion.objects.create(
            order=order, number=1, total_pence=11, goods_pence=5, delivery_pence=5, **values
        ),
    )
    version = b.OrderVersion.objects.create(
        order=order, number=1, total_pence=10, goods_pence=5, delivery_pence=5, **values
    )
    assert_refused(
        "line_cost_adds_up",
        lambda: b.OrderLine.objects.create(
            version=version,
            pack=world.packs["hemp"],
            packs=2,
            unit_price_pence=150,
            cost_pence=299,
        ),
    )
    assert_refused(
        "version_once_per_inputs",
        lambda: b.OrderVersion.objects.create(
            order=order, number=2, total_pence=10, goods_pence=5, delivery_pence=5, **values
        ),
    )


def test_one_piece_of_work_waits_for_a_key(world: Any) -> None:
    for state in ("done", "waiting"):
        m.WorkRequest.objects.create(club=world.club, kind="order", key="1", state=state)
    assert_refused(
        "work_waits_once",
        lambda: m.WorkRequest.objects.create(club=world.club, kind="order", key="1"),
    )


def test_a_pack_an_order_names_cannot_be_deleted(world: Any) -> None:
    order = b.Order.objects.create(match=world.match, team=world.alders)
    version = b.OrderVersion.objects.create(
        order=order,
        number=1,
        total_pence=150,
        goods_pence=150,
        delivery_pence=0,
        inputs={},
        answer={},
        status="optimal",
        inputs_digest="0" * 64,
    )
    b.OrderLine.objects.create(
        version=version, pack=world.packs["hemp"], packs=1, unit_price_pence=150, cost_pence=150
    )
    with pytest.raises(IntegrityError), transaction.atomic():
        world.packs["hemp"].delete()
    assert b.Pack.objects.filter(pk=world.packs["hemp"].pk).exists()
