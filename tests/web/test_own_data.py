"""A person's data: taken away whole, erased on asking, and no longer kept than is said."""

from __future__ import annotations

import csv
import datetime as dt
import io
import json
import re
import zipfile
from typing import Any

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.core.management import call_command
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from matches import models as m
from matches.reads.trail import chain_walked
from matches.writes.audit import audit_record
from matches.writes.bulletins import bulletin_publish
from matches.writes.facts import fact_log_at_desk
from tests.clients import signed_in
from tests.conftest import PASSWORD
from web.kept import KEPT, kept_days

pytestmark = pytest.mark.django_db


@pytest.fixture
def fished(world: Any) -> Any:
    for person, kind, peg, body in (
        (world.member, "peg_note", "4", {"depth_cm": 180}),
        (world.member, "weigh_in", "4", weight(4000) | {"witness": "Odette Marl"}),
        (world.weigher, "weigh_in", "5", weight(5000)),
    ):
        fact_log_at_desk(person, match=world.match, kind=kind, peg=peg, body=body)
    bulletin_publish(world.secretary, match=world.match)
    for person, subject in ((world.secretary, "Wilmot Crane"), (world.member, "Odette Marl")):
        audit_record(
            club=world.club,
            person=person,
            verb="entry_add",
            subject=subject,
            detail={"with": "Odette Marl"},
        )
    m.FeePayment.objects.create(entry=world.entries["Wilmot"], pence=500, taken_by=world.secretary)
    return world


def weight(grams: int) -> dict[str, Any]:
    return {"net": 1, "weight": grams, "unit": "g"}


def taken(person: Any) -> dict[str, str]:
    """The files of the archive by name."""
    sent = signed_in(person).get(reverse("desk:own-data-zip"))
    whole = b"".join(sent.streaming_content)
    with zipfile.ZipFile(io.BytesIO(whole)) as archive:
        assert archive.testzip() is None
        return {name: archive.read(name).decode("utf-8-sig") for name in archive.namelist()}


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def test_all_of_ones_own_is_in_the_archive(fished: Any) -> None:
    files = taken(fished.member)
    assert rows(files["account.csv"])[0]["signs_in_as"] == "wilmot"
    [entry] = rows(files["entries.csv"])
    assert (entry["peg"], entry["team"]) == ("4", "Otterbeck Alders")
    [result] = rows(files["results.csv"])
    assert (result["peg"], result["weight"], result["unit"]) == ("4", "4000", "g")
    assert rows(files["paid_for_matches.csv"])[0]["pence"] == "500"
    notes = json.loads(files["notes.json"])
    assert {note["kind"] for note in notes} == {"peg_note", "weigh_in"}
    whose = {row["whose"] for row in rows(files["trail.csv"])}
    assert whose == {"by you", "about you"}


def test_nobody_else_is_named_in_it(fished: Any) -> None:
    text = "\n".join(taken(fished.member).values())
    others = m.Angler.objects.exclude(person=fished.member).values_list("name", flat=True)
    people = m.Person.objects.exclude(pk=fished.member.pk)
    for name in {*others, *(one.username for one in people)}:
        assert not re.search(rf"\b{re.escape(name)}\b", text), name


def test_a_strangers_archive_says_nothing_of_the_club(fished: Any) -> None:
    text = "\n".join(taken(fished.outsider).values())
    assert not re.search("Otterbeck|June Open|Tolling", text)


def test_erasing_is_asked_for_with_password_and_name_and_taken_back(fished: Any) -> None:
    client, at = signed_in(fished.member), reverse("desk:own-data")
    for sent in (
        {"do": "erase", "password": "wrong", "typed": "wilmot"},
        {"do": "erase", "password": PASSWORD, "typed": "Wilmot"},
        {"do": "what"},
    ):
        client.post(at, sent)
        assert not m.ErasureAsked.objects.exists()
    said = client.post(at, {"do": "erase", "password": PASSWORD, "typed": "wilmot"}, follow=True)
    assert "You asked to be erased." in said.content.decode()
    asked = m.ErasureAsked.objects.get(person=fished.member)
    assert asked.due_at - asked.asked_at == dt.timedelta(days=7)
    client.post(at, {"do": "stay"})
    assert not m.ErasureAsked.objects.exists()


def test_the_last_secretary_is_asked_for_the_next_one_first(fished: Any) -> None:
    client, at = signed_in(fished.secretary), reverse("desk:own-data")
    page = client.get(at).content.decode()
    assert "You are the last secretary of Otterbeck Piscatorials." in page
    assert 'value="erase"' not in page
    sent = {"do": "successor", "club": "otterbeck", "successor": str(fished.captain.pk)}
    client.post(at, sent)
    assert m.Membership.objects.filter(person=fished.captain, role="secretary").count() == 1
    assert 'value="erase"' in client.get(at).content.decode()


def test_the_board_shows_the_number_and_both_digests(fished: Any) -> None:
    angler = fished.entries["Wilmot"].angler
    m.Angler.objects.filter(pk=angler.pk).update(person=None)
    at = reverse("desk:angler-gone", args=["otterbeck"])
    client = signed_in(fished.secretary)
    sent = {"angler": str(angler.pk), "typed": "Somebody"}
    assert "Type the name exactly" in client.post(at, sent).content.decode()
    client.post(at, sent | {"typed": "Wilmot Crane"})
    row = m.Bulletin.objects.get()
    board = Client().get(f"/board/otterbeck/{fished.match.slug}/1/").content.decode()
    assert f"Angler {angler.pk}" in board and "Wilmot" not in board
    assert row.digest in board and row.redacted in board and row.digest != row.redacted


def test_what_is_old_is_told_first_and_let_go_of_on_asking(fished: Any) -> None:
    old = timezone.now() - dt.timedelta(days=36_000)
    m.Match.objects.update(start_at=old, end_at=old + dt.timedelta(hours=5))
    gone = m.Device.objects.create(person=fished.member, last_seen_at=old)
    kept = m.Device.objects.create(person=fished.member, last_seen_at=timezone.now())
    out = io.StringIO()
    call_command("retention", stdout=out)
    assert re.search(r"^notes +1825 d .*: 1 would be let go of$", out.getvalue(), re.MULTILINE)
    assert m.Fact.objects.get(kind="peg_note").body == {"depth_cm": 180}
    call_command("retention", "--apply", stdout=out)
    assert m.Fact.objects.get(kind="peg_note").body == {}
    assert m.WeighIn.objects.count() == 2 and m.Bulletin.objects.count() == 1
    assert list(m.Device.objects.filter(pk__in=[gone.pk, kept.pk])) == [kept]
    assert m.AuditEntry.objects.filter(verb="notes_let_go").count() == 1
    assert chain_walked(fished.club.pk).misfit is None


def test_the_privacy_page_says_the_days_that_are_kept_to(settings: Any) -> None:
    settings.KEPT_DAYS = kept_days("notes=417 work=31")
    settings.PRIVACY_CONTACT = "Write to privacy@otterbeck.example"
    page = Client().get("/privacy/").content.decode()
    for key, (_days, words) in KEPT.items():
        assert f'<td>{words}</td><td class="number">{settings.KEPT_DAYS[key]}</td>' in page.replace(
            "&#x27;", "'"
        )
    assert '<td class="number">417</td>' in page and "privacy@otterbeck.example" in page
    assert 'href="/privacy/"' in Client().get("/sign-in/").content.decode()


@pytest.mark.parametrize("said", ["notes", "notes=0", "notes=x", "money=3", "notes=99999"])
def test_a_wrong_number_of_days_is_refused_in_words(said: str) -> None:
    with pytest.raises(ImproperlyConfigured, match="KEEP_DAYS"):
        kept_days(said)
