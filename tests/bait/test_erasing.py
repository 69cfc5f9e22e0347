"""A person erased: a pseudonym stands wherever the name stood, and every proof still holds."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any

import pytest
from django.apps import apps
from django.core import serializers
from django.db import IntegrityError, transaction
from django.test import Client
from django.utils import timezone

from bait.models import ThrowSize
from bait.models.plans import Throw
from bait.writes.erasing import (
    angler_erase,
    clubs_left_alone,
    erasure_ask,
    erasure_take_back,
    erasures_carry_out,
    person_erase,
    successor_name,
)
from matches import models as m
from matches.problems import Code, Problem
from matches.reads.trail import chain_head, chain_walked
from matches.reckon.errors import BadInput
from matches.reckon.names import names_replaced
from matches.writes.audit import audit_record
from matches.writes.bulletins import bulletin_publish
from matches.writes.facts import fact_log_at_desk
from tests.league_season import league_of
from tests.matches.test_trail_chain import Unguarded
from web.integrity import faults_found

WAIT = dt.timedelta(days=7, seconds=1)


@pytest.fixture
def fished(world: Any) -> Any:
    """Everybody weighed, Wilmot noted feed and was somebody's witness; published, twice, and in a
    league; the trail names him."""
    league_of(world, world.match)
    log(world, world.member, "peg_note", "4", {"depth_cm": 180})
    for peg in "1245":
        body = {"net": 1, "weight": 1000 * int(peg), "unit": "g", "witness": "Wilmot Crane"}
        log(world, world.weigher, "weigh_in", peg, body)
    for confirmed, reason in ((False, ""), (True, "Wilmot Crane agreed, so did Wilmot Cranefield")):
        world.match.refresh_from_db()
        bulletin_publish(world.secretary, match=world.match, confirmed=confirmed, reason=reason)
    angler = world.entries["Wilmot"].angler
    ThrowSize.objects.create(angler=angler, throw=Throw.values[0], ml=20)
    m.Device.objects.create(person=world.member, label="Wilmot’s phone")
    audit_record(
        club=world.club,
        person=world.secretary,
        verb="entry_add",
        subject=world.entries["Wilmot"],
        detail={"name": "Wilmot Crane · wilmot", "pence": 500},
    )
    return world


def log(world: Any, person: Any, kind: str, peg: str, body: dict[str, Any]) -> None:
    fact_log_at_desk(person, match=world.match, kind=kind, peg=peg, body=body)


def erase(world: Any) -> m.Angler:
    angler = world.entries["Wilmot"].angler
    erasure_ask(world.member)
    assert erasures_carry_out(now=timezone.now() + WAIT) == 1
    angler.refresh_from_db()
    return angler


def everything() -> str:
    """All rows of all our tables, as text."""
    rooms = [apps.get_app_config(room) for room in ("matches", "bait")]
    models = [model for room in rooms for model in room.get_models()]
    return "\n".join(
        serializers.serialize("json", model._base_manager.all(), ensure_ascii=False)
        for model in models
    )


@pytest.mark.django_db
def test_no_table_holds_the_name_or_the_account_afterwards(fished: Any) -> None:
    assert "Wilmot Crane" in everything() and "Wilmot’s phone" in everything()
    erase(fished)
    text = everything().replace("Wilmot Cranefield", "")
    for word in ("Wilmot", "wilmot"):
        assert word not in text


@pytest.mark.django_db
def test_results_stand_under_one_pseudonym_and_weights_are_as_they_were(fished: Any) -> None:
    before = [b.body for b in m.Bulletin.objects.order_by("number")]
    angler = erase(fished)
    assert angler.name == f"Angler {angler.pk}"
    for was, row in zip(before, m.Bulletin.objects.order_by("number"), strict=True):
        text = json.dumps(was, ensure_ascii=False)
        text = text.replace("Wilmot Cranefield", "\0").replace("Wilmot Crane", angler.name)
        assert json.dumps(row.body, ensure_ascii=False) == text.replace("\0", "Wilmot Cranefield")
        assert row.reason == row.body["reason"]
    assert angler.name in json.dumps(m.LeagueTable.objects.latest("pk").body)


@pytest.mark.django_db
def test_every_digest_can_still_be_checked(fished: Any) -> None:
    digests = list(m.Bulletin.objects.order_by("pk").values_list("digest", flat=True))
    noted = chain_head(fished.club.pk)
    erase(fished)
    assert list(m.Bulletin.objects.order_by("pk").values_list("digest", flat=True)) == digests
    assert chain_walked(fished.club.pk).misfit is None
    assert m.AuditEntry.objects.get(club=fished.club, number=noted[0]).digest == noted[1]
    assert list(faults_found()) == []


@pytest.mark.django_db
def test_words_changed_and_called_erasing_are_found(fished: Any) -> None:
    erase(fished)
    m.Bulletin.objects.filter(number=1).update(body={"x": 1}, redacted="0" * 64)
    m.LeagueTable.objects.update(body={}, redacted="0" * 64)
    assert len([said for said in faults_found() if "digest" in said]) >= 2
    with Unguarded():
        row = m.AuditEntry.objects.filter(club=fished.club, salt="").first()
        m.AuditEntry.objects.filter(pk=row.pk).update(detail={"pence": 5})
    assert chain_walked(fished.club.pk).number == row.number


@pytest.mark.django_db
def test_a_bulletin_is_not_changed_but_with_the_digest_of_its_words(fished: Any) -> None:
    row = m.Bulletin.objects.filter(number=1)
    for change in ({"body": {}}, {"reason": "x"}, {"digest": "0" * 64, "redacted": "0" * 64}):
        with pytest.raises(IntegrityError), transaction.atomic():
            row.update(**change)


@pytest.mark.django_db
def test_notes_are_emptied_weights_stay_and_the_phone_is_gone(fished: Any) -> None:
    erase(fished)
    note = m.Fact.objects.get(kind="peg_note")
    assert (note.body, note.author_id) == ({}, fished.member.pk)
    assert {row.weight for row in m.WeighIn.objects.all()} == {1000, 2000, 4000, 5000}
    assert not m.Device.objects.filter(person=fished.member).exists()
    assert not ThrowSize.objects.exists()
    fished.member.refresh_from_db()
    assert not fished.member.is_active
    assert not Client().login(username="wilmot", password="heron-on-the-wend")


@pytest.mark.django_db
def test_there_is_time_to_think_and_asking_can_be_taken_back(fished: Any) -> None:
    erasure_ask(fished.member)
    assert erasures_carry_out() == 0
    erasure_take_back(fished.member)
    assert erasures_carry_out(now=timezone.now() + WAIT) == 0
    verbs = m.AuditEntry.objects.filter(verb__startswith="person_").order_by("pk")
    assert [row.verb for row in verbs] == ["person_erase_ask", "person_erase_take_back"]
    assert not person_erase(fished.member)
    fished.member.refresh_from_db()
    assert fished.member.is_active


@pytest.mark.django_db
def test_the_last_secretary_names_another_first(fished: Any) -> None:
    assert clubs_left_alone(fished.secretary) == [fished.club]
    with pytest.raises(Problem) as refused:
        erasure_ask(fished.secretary)
    assert refused.value.code is Code.CONFLICT
    successor_name(fished.secretary, club=fished.club, successor_id=fished.captain.pk)
    assert clubs_left_alone(fished.secretary) == []
    erasure_ask(fished.secretary)
    assert erasures_carry_out(now=timezone.now() + WAIT) == 1
    assert list(faults_found()) == []


@pytest.mark.django_db
def test_who_is_drawn_in_a_match_that_goes_on_is_erased_after_it(fished: Any) -> None:
    erasure_ask(fished.member)
    m.Match.objects.update(state="weighing")
    assert erasures_carry_out(now=timezone.now() + WAIT) == 0
    m.Match.objects.update(state="confirmed")
    assert erasures_carry_out(now=timezone.now() + WAIT) == 1


@pytest.mark.django_db
def test_the_secretary_erases_an_angler_without_an_account_by_typing_the_name(
    fished: Any,
) -> None:
    angler = fished.entries["Odette"].angler
    m.Angler.objects.filter(pk=angler.pk).update(person=None)
    angler.refresh_from_db()

    def act(typed: str) -> m.Angler:
        return angler_erase(fished.secretary, club=fished.club, angler_id=angler.pk, typed=typed)

    with pytest.raises(BadInput):
        act("Odette")
    name = angler.name
    assert act(f" {name} ").name == f"Angler {angler.pk}"
    assert name not in json.dumps([b.body for b in m.Bulletin.objects.all()])
    assert list(faults_found()) == []
    with pytest.raises(Problem) as refused:
        angler_erase(
            fished.secretary,
            club=fished.club,
            angler_id=fished.entries["Maud"].angler_id,
            typed="Maud Ferris",
        )
    assert refused.value.code is Code.CONFLICT


def test_whole_names_are_replaced_and_longer_ones_first() -> None:
    names = {"Al Fry": "Angler 1", "Al Fry-Reed": "Angler 2"}
    said = {"Al Fry": ["Al Fry, Al Fry-Reed and Al Frye", 3, None, {"x": "Pal Fry"}]}
    assert names_replaced(said, names=names) == {
        "Al Fry": ["Angler 1, Angler 2 and Al Frye", 3, None, {"x": "Pal Fry"}]
    }
    assert names_replaced("Al", names={}) == "Al"
