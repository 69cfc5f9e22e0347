"""Settings, scoring, entries and fees over HTTP: every role, what is said, what is asked."""

from __future__ import annotations

import re
import uuid
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from bait.models import MatchLimit
from matches.models import Angler, AuditEntry, Entry, FeePayment, Match
from matches.problems import Problem
from matches.writes.entries import entries_add
from matches.writes.fees import fee_take, fees_take
from matches.writes.match_content import terms_typed
from matches.writes.match_scoring import scoring_typed
from tests.clients import read, signed_in
from tests.matches.planned import anglers, status_of, undrawn

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(world: Any) -> Client:
    return signed_in(world.secretary)


def at(world: Any, page: str = "") -> str:
    return f"/desk/matches/{world.match.pk}/{page}"


def send(client: Client, address: str, **typed: Any) -> str:
    """The page after a form was sent."""
    return client.post(address, typed, follow=True).content.decode()


READ = {"secretary": 200, "captain": 200, "member": 200, "weigher": 200, "outsider": 404}
RUN = {"secretary": 200, "captain": 403, "member": 403, "weigher": 403, "outsider": 404}


@pytest.mark.parametrize("who", list(READ))
def test_each_role_reads_and_sends_what_it_may(world: Any, who: str) -> None:
    undrawn(world)
    maud = world.entries["Maud"].pk
    pages = {
        "entries/": READ,
        "scoring/": READ,
        "settings/": RUN,
        f"entrants/{maud}/": RUN,
        f"entrants/{maud}/receipt/": RUN,
    }
    client = signed_in(getattr(world, who))
    for page, roles in pages.items():
        assert client.get(at(world, page)).status_code == roles[who], page
        assert Client().get(at(world, page)).status_code == 302
        if not page.endswith("receipt/") and who != "secretary":
            assert client.post(at(world, page), {"do": "withdraw"}).status_code == RUN[who]
    new = "/desk/clubs/otterbeck/matches/new/"
    assert client.get(new).status_code == RUN[who]
    if who != "secretary":
        assert client.post(new, terms_typed(world.match)).status_code == RUN[who]
        assert Match.objects.count() == 1 and status_of(world.match)["Maud"] == "entered"


def test_a_match_is_planned_from_an_earlier_one_with_its_limits(world: Any, desk: Client) -> None:
    MatchLimit.objects.create(match=world.match, position=1, name="Worms", allowed_l="0.5")
    address = "/desk/clubs/otterbeck/matches/new/"
    text = read(desk, f"{address}?like={world.match.pk}")
    assert "Filled in from June Open" in text and 'value="15:00"' in text
    typed = {**terms_typed(world.match), "name": "July Open", "date": "2026-07-18"}
    text = send(desk, address, like=world.match.pk, **typed)
    assert "July Open is planned. See how it is scored." in text
    made = Match.objects.get(name="July Open")
    assert made.section_pegs.count() == 6 and made.bait_limit_l == world.match.bait_limit_l
    assert MatchLimit.objects.get(match=made).name == "Worms"
    assert "July Open" in read(desk, "/desk/")


def test_what_is_wrong_in_a_new_match_is_marked_and_nothing_typed_is_lost(
    world: Any, desk: Client
) -> None:
    typed = {**terms_typed(world.match), "name": "Bend Open", "start_at": "16:00"}
    text = send(desk, "/desk/clubs/otterbeck/matches/new/", **typed)
    assert "This is before the start: the end comes after it." in text
    assert 'value="Bend Open"' in text and 'aria-invalid="true"' in text
    assert not Match.objects.filter(name="Bend Open").exists()
    assert 'href="/desk/clubs/otterbeck/matches/new/"' in read(desk, "/desk/")
    assert "matches/new/" not in read(signed_in(world.member), "/desk/")


def test_settings_say_what_changed_with_them(world: Any, desk: Client) -> None:
    match = undrawn(world, places_most=4)
    entries_add(
        world.secretary, match=match, angler_ids=[a.pk for a in anglers(world, "Una Sedge")]
    )
    text = send(desk, at(world, "settings/"), **terms_typed(match), do="save")
    assert "Nothing differed" in text
    typed = {**terms_typed(match), "places_most": "5", "end_at": "17:30"}
    text = send(desk, at(world, "settings/"), **typed, do="save")
    assert "Una Sedge had waited longest and has a place now." in text
    assert "The times changed: each phone says so" in text
    text = send(desk, at(world, "settings/"), **{**typed, "fee": "x"}, do="save")
    assert "Nothing is saved yet" in text and 'name="fee" value="x"' in text


def test_a_match_called_off_says_so_wherever_it_stands_until_it_is_taken_back(
    world: Any, desk: Client
) -> None:
    assert "Say why" in send(desk, at(world, "settings/"), do="call-off", reason=" ")
    send(desk, at(world, "settings/"), do="call-off", reason="The river is over the bank.")
    member = signed_in(world.member)
    public = "/board/otterbeck/june-open/"
    pages = [(member, "/desk/"), (member, at(world)), (member, at(world, "entries/"))]
    pages += [(Client(), public), (Client(), f"{public}draw/")]
    for client, page in pages:
        text = read(client, page)
        assert "Called off." in text and "The river is over the bank." in text, page
    send(desk, at(world, "settings/"), do="call-back")
    assert "Called off." not in read(member, at(world))
    assert Client().get(public).status_code == 404


def test_a_preset_fills_the_rules_in_and_is_saved_only_when_asked(world: Any, desk: Client) -> None:
    typed = {**scoring_typed(world.match), "cap": "22.5"}
    text = send(desk, at(world, "scoring/"), **{**typed, "do": "preset-club-low"})
    assert "These rules are not saved yet." in text and 'name="cap" value="22.5"' in text
    assert '<option value="size_plus_two" selected>' in text
    world.match.refresh_from_db()
    assert (world.match.scheme, world.match.net_cap) == ("international", None)
    typed.update(blank="size_plus_one", absent="size_plus_two", do="save")
    text = send(desk, at(world, "scoring/"), **typed)
    assert "Scored by: <b>Club rule: a blank scores one more than the section</b>" in text
    world.match.refresh_from_db()
    assert (world.match.scheme["absent"], world.match.net_cap) == ("size_plus_two", 22_500)
    text = send(desk, at(world, "scoring/"), **{**typed, "absent": "zero"})
    assert "points up only" in text and "Nothing is saved yet" in text
    reader = read(signed_in(world.member), at(world, "scoring/"))
    assert "two more than the section has anglers" in reader and "22.500 kg" in reader
    assert "Save the scoring" not in reader


def test_the_scoring_of_a_match_without_sections_leads_on_to_them(world: Any, desk: Client) -> None:
    typed = {**terms_typed(world.match), "name": "July Open", "date": "2026-07-18"}
    send(desk, "/desk/clubs/otterbeck/matches/new/", **typed)
    made = Match.objects.get(name="July Open")
    scored, pegs = (f"/desk/matches/{made.pk}/{page}/" for page in ("scoring", "pegs"))
    sent = {**scoring_typed(made), "do": "save"}
    for said in ("Nothing differed", "The scoring is saved."):
        answer = desk.post(scored, sent, follow=True)
        assert answer.redirect_chain == [(pegs, 302)]
        text = answer.content.decode()
        assert said in text and "Next: its pegs and sections." in text
        sent["cap"] = "22.5"
    answer = desk.post(at(world, "scoring/"), {**scoring_typed(world.match), "do": "save"})
    assert answer["Location"] == at(world, "scoring/")


def test_a_team_is_entered_by_ticks_and_nobody_twice(world: Any, desk: Client) -> None:
    undrawn(world)
    hester, silas = anglers(world, "Hester Vane", "Silas Brome", team=world.alders)
    sent = {"do": "enter", "team": world.alders.pk, "for": "team", "as": "entered"}
    text = send(desk, at(world, "entries/"), **sent, angler=[hester.pk, silas.pk])
    assert "2 entered: Hester Vane, Silas Brome." in text
    text = send(desk, at(world, "entries/"), **sent, angler=[hester.pk])
    assert "Hester Vane: in this match already. Nobody is entered twice" in text
    assert "Tick who is to be entered." in send(desk, at(world, "entries/"), **sent)
    for odd in ("x", "9" * 12, "²"):
        assert "load the page again" in send(desk, at(world, "entries/"), **sent, angler=[odd])
    assert Entry.objects.filter(angler__in=[hester, silas], team=world.alders).count() == 2


def test_a_whole_team_is_entered_by_one_press_as_it_was_listed(world: Any, desk: Client) -> None:
    undrawn(world)
    anglers(world, "Hester Vane", "Silas Brome", team=world.alders)
    page = desk.get(at(world, "entries/")).content.decode()
    listed = re.findall(r'name="everybody" value="(\d+)"', page)
    anglers(world, "Joined Since", team=world.alders)
    sent = {"do": "enter-all", "team": world.alders.pk, "for": "team", "as": "entered"}
    text = send(desk, at(world, "entries/"), **sent, everybody=listed)
    assert "2 entered: Hester Vane, Silas Brome." in text
    assert not Entry.objects.filter(angler__name="Joined Since").exists()


def test_fees_are_taken_from_who_is_ticked_and_from_nobody_twice(world: Any, desk: Client) -> None:
    match = undrawn(world, fee_pence=1250)
    maud, odette = (world.entries[name].pk for name in ("Maud", "Odette"))
    fee_take(world.secretary, match=match, entry_id=odette, pence=1000, key=uuid.uuid4())
    ticked = {"do": "take", "entry": [maud, odette]}
    assert "2 fees taken: £15.00." in send(desk, at(world, "entries/"), **ticked)
    assert "None of them owes anything" in send(desk, at(world, "entries/"), **ticked)
    paid = FeePayment.objects.values_list("entry_id", "pence").order_by("pk")
    assert sorted(paid) == sorted([(odette, 1000), (maud, 1250), (odette, 250)])
    assert AuditEntry.objects.filter(verb="fees_take").count() == 1
    page = desk.get(at(world, "entries/")).content.decode()
    owing = {str(world.entries[name].pk) for name in ("Perrin", "Wilmot")}
    assert set(re.findall(r'name="entry" value="(\d+)"', page)) == owing


def test_every_fee_that_is_owed_is_taken_by_one_press_as_it_was_listed(
    world: Any, desk: Client
) -> None:
    match = undrawn(world, fee_pence=1250)
    maud = world.entries["Maud"].pk
    fee_take(world.secretary, match=match, entry_id=maud, pence=1250, key=uuid.uuid4())
    listed = re.findall(r'name="everybody" value="(\d+)"', read(desk, at(world, "entries/")))
    owing = {world.entries[name].pk for name in ("Odette", "Perrin", "Wilmot")}
    assert {int(pk) for pk in listed} == owing
    text = send(desk, at(world, "entries/"), do="take-all", everybody=listed)
    assert "3 fees taken: £37.50." in text and "Take fees" not in text


def test_the_main_button_of_a_fee_is_what_is_still_to_be_done(world: Any, desk: Client) -> None:
    match = undrawn(world, fee_pence=1250)
    maud = world.entries["Maud"].pk
    entrant = at(world, f"entrants/{maud}/")
    taken, back = 'value="take">Taken', 'value="give-back">Given back'
    second, main = (
        '<button class="second" type="submit" name="do" ',
        '<button type="submit" name="do" ',
    )
    text = read(desk, entrant)
    assert main + taken in text and back not in text
    fee_take(world.secretary, match=match, entry_id=maud, pence=1250, key=uuid.uuid4())
    text = read(desk, entrant)
    assert second + taken in text and second + back in text
    send(desk, entrant, do="withdraw")
    text = read(desk, entrant)
    assert second + taken in text and main + back in text


def test_a_fee_of_another_match_or_by_a_member_is_not_taken(world: Any) -> None:
    match = undrawn(world, fee_pence=1250)
    other = Match.objects.create(
        club=world.club,
        venue=world.venue,
        name="Other",
        slug="other",
        date=match.date,
        start_at=match.start_at,
        end_at=match.end_at,
        fee_pence=900,
    )
    theirs = Entry.objects.create(match=other, angler=world.entries["Maud"].angler)
    assert fees_take(world.secretary, match=match, entry_ids=[theirs.pk]) == []
    for person in (world.member, world.outsider):
        with pytest.raises(Problem):
            fees_take(person, match=match, entry_ids=[world.entries["Maud"].pk])
    assert not FeePayment.objects.exists()


def test_somebody_new_goes_into_the_book_and_the_match_or_into_neither(
    world: Any, desk: Client
) -> None:
    undrawn(world)
    new = {"do": "book-enter", "name": "Tilda Roke", "team": world.teals.pk, "junior": "yes"}
    text = send(desk, at(world, "entries/"), **new)
    assert "Tilda Roke is in the club’s book." in text and "Entered: Tilda Roke." in text
    text = send(desk, at(world, "entries/"), **{**new, "name": "tilda roke"})
    assert "in the book already" in text and 'value="tilda roke"' in text
    Match.objects.update(called_off="Flood.")
    send(desk, at(world, "entries/"), **{**new, "name": "Ada Thorne"})
    assert not Angler.objects.filter(name="Ada Thorne").exists()


def test_members_see_a_junior_by_initials_and_nothing_of_fees_or_access(
    world: Any, desk: Client
) -> None:
    match = undrawn(world, fee_pence=1000)
    Angler.objects.filter(name="Odette Marl").update(junior=True)
    Entry.objects.filter(angler__name="Maud Ferris").update(needs_access=True)
    own = read(desk, at(world, "entries/"))
    assert "Odette Marl" in own and "accessible peg" in own and "owes £10.00" in own
    Entry.objects.filter(angler__name="Odette Marl").update(status="waiting")
    text = read(signed_in(world.member), at(world, "entries/"))
    assert "O. M." in text and "Entry fee £10.00." in text
    for secret in ("Odette Marl", "accessible peg", "owes", f"/entrants/{match.pk}"):
        assert secret not in text


def test_a_place_passes_on_and_it_is_said_openly(world: Any, desk: Client) -> None:
    undrawn(world, places_most=4)
    una = entries_add(
        world.secretary, match=world.match, angler_ids=[a.pk for a in anglers(world, "Una Sedge")]
    ).waiting[0]
    entrant = f"entrants/{world.entries['Maud'].pk}/"
    text = send(desk, at(world, entrant), do="withdraw")
    assert "Maud Ferris has withdrawn." in text
    assert "Una Sedge had waited longest and has a place now." in text
    assert "This angler has withdrawn already." in send(desk, at(world, entrant), do="withdraw")
    assert str(una.pk) in read(desk, at(world, "entries/"))


def test_after_the_start_the_page_asks_why_and_keeps_what_was_typed(
    world: Any, desk: Client
) -> None:
    Match.objects.update(start_at="2025-06-20T09:00Z")
    entrant = at(world, f"entrants/{world.entries['Maud'].pk}/")
    assert "The match has started: say why" in send(desk, entrant, do="withdraw")
    text = send(desk, entrant, do="withdraw", reason="Taken ill.")
    assert "marked absent: peg 1 stays empty, and the team scores an absent angler" in text
    assert AuditEntry.objects.get(verb="entry_withdraw").detail["reason"] == "Taken ill."


def test_a_fee_is_taken_once_however_often_it_is_tapped_and_has_a_receipt(
    world: Any, desk: Client
) -> None:
    undrawn(world, fee_pence=1250)
    entrant = at(world, f"entrants/{world.entries['Maud'].pk}/")
    sent = {"do": "take", "amount": "£12,50", "key": str(uuid.uuid4())}
    for _tap in range(2):
        assert "Noted as taken." in send(desk, entrant, **sent)
    assert FeePayment.objects.get().pence == 1250
    assert "Write an amount above zero" in send(desk, entrant, **{**sent, "amount": "ten"})
    assert "Load the page again" in send(desk, entrant, **{**sent, "key": "x"})
    text = read(desk, f"{entrant}receipt/")
    assert "<b>Maud Ferris</b>" in text and "£12.50" in text and "Nothing is open." in text
    send(desk, entrant, do="withdraw")
    assert "£12.50 to give back" in read(desk, at(world, "entries/"))
    back = {"do": "give-back", "amount": "12.50", "key": str(uuid.uuid4())}
    assert "Noted as given back." in send(desk, entrant, **back)
    assert "−£12.50" in read(desk, entrant)


def test_the_pages_ask_little_and_no_more_for_many(
    world: Any, desk: Client, django_assert_max_num_queries: Any
) -> None:
    undrawn(world, fee_pence=1000)
    maud = world.entries["Maud"].pk
    pages = ["entries/", "scoring/", "settings/", f"entrants/{maud}/", f"entrants/{maud}/receipt/"]
    for page in pages:
        with django_assert_max_num_queries(10):
            read(desk, at(world, page))
    with CaptureQueriesContext(connection) as few:
        read(desk, at(world, "entries/"))
    for n in range(30):
        (angler,) = anglers(world, f"Angler {n}", team=world.alders)
        if n % 2:
            Entry.objects.create(match=world.match, angler=angler, team=world.alders)
    with CaptureQueriesContext(connection) as many:
        read(desk, at(world, "entries/"))
    assert len(many) == len(few)


def test_bait_pages_go_on_after_a_withdrawal_and_count_who_stands_in(
    world: Any, desk: Client
) -> None:
    undrawn(world)
    una = anglers(world, "Una Sedge")
    entries_add(world.secretary, match=world.match, angler_ids=[una[0].pk], status="reserve")
    substitute = Entry.objects.get(angler=una[0])
    entrant = at(world, f"entrants/{world.entries['Wilmot'].pk}/")
    text = send(desk, entrant, do="withdraw", substitute=substitute.pk)
    assert "Una Sedge takes the place." in text
    team = f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/"
    captain = signed_in(world.captain)
    text = read(captain, team)
    assert "Una Sedge" in text and "Wilmot Crane" not in text
    for page in ("order/", "bags/", "kitty/", "larder/"):
        assert captain.get(f"{team}{page}").status_code in (200, 404), page
    assert signed_in(world.member).get(f"/desk/plans/{world.match.pk}/").status_code == 200


def test_the_api_lists_entries_by_public_names_in_the_club_only(world: Any) -> None:
    Angler.objects.filter(name="Odette Marl").update(junior=True)
    Entry.objects.filter(angler__name="Perrin Stoat").update(status="waiting")
    address = f"/api/v1/matches/{world.match.pk}/entries"
    body = signed_in(world.member).get(address).json()
    assert body["places"] is None
    assert body["entries"][0] == {
        "entry": world.entries["Maud"].pk,
        "angler": "Maud Ferris",
        "team": "Otterbeck Alders",
        "status": "entered",
        "section": "A",
        "peg": "1",
        "replaces": None,
    }
    said = [(e["angler"], e["status"]) for e in body["entries"][2:]]
    assert said == [("O. M.", "entered"), ("Perrin Stoat", "waiting")]
    assert signed_in(world.outsider).get(address).status_code == 404
    assert Client().get(address).status_code == 401
