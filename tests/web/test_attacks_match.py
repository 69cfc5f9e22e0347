"""What somebody tries at the match desk who means no good, and what a tired secretary types."""

from __future__ import annotations

import re
import uuid
from itertools import cycle, islice
from typing import Any
from xml.dom import minidom

import pytest
from django.db import connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext

from matches.models import (
    Angler,
    AuditEntry,
    Disagreement,
    Fact,
    League,
    Match,
    Peg,
    PegLeftOut,
    ScoredBy,
    Section,
    Team,
    WeighIn,
)
from matches.writes.bulletins import bulletin_publish
from matches.writes.leagues import league_make, league_rounds_set
from matches.writes.match_content import terms_typed
from matches.writes.match_scoring import scoring_typed
from tests.clients import signed_in
from tests.fished import weigh
from tests.matches.planned import undrawn
from tests.nul import NUL, no_nul_asked
from tests.thorough import trials

pytestmark = pytest.mark.django_db

#: Digits whose first nine are a small number.
HUGE = "000000001" + "9" * 5_000
#: What a field may be sent that no form of ours sends.
NASTY = [
    NUL,
    "9" * 5_000,
    HUGE,
    "-1",
    "1e999",
    "NaN",
    "²",
    "\x1b[2J\x0b\x85\u2028",
    "x" * 20_000,
    "0001-01-01",
    "9999-12-31T23:59",
    "24:00",
]
#: How many of them each field is sent; the next field goes on with the next of them.
OF_NASTY = trials(3, in_full=len(NASTY))


def at(world: Any, page: str = "") -> str:
    return f"/desk/matches/{world.match.pk}/{page}"


VENUES = "/desk/venues/otterbeck/"
LEAGUES = "/desk/clubs/otterbeck/leagues/"
PEG = {
    "do": "save", "number": "12", "side": "left", "along_m": "5", "depth_cm": "100",
    "latitude": "52.1", "longitude": "1.2", "accessible": "on", "power_lines": "",
    "steep_bank": "", "notes": "n",
}  # fmt: skip
VENUE = {"name": "Long Reach", "water": "Wend", "timezone": "Europe/London", "cautions": "c"}
RULES = {
    "name": "Wend League", "of": "anglers", "adds": "points_low", "counting": "drop",
    "drop_worst": "1", "best_of": "", "minimum_rounds": "2", "missed": "fixed",
    "missed_points": "20", "tie_1": "weight", "tie_2": "", "tie_3": "last_round", "reason": "r",
}  # fmt: skip


def forms(world: Any) -> dict[str, tuple[str, dict[str, str]]]:
    """Each form of these pages as it is sent: its address and its fields."""
    maud = world.entries["Maud"].pk
    peg = world.pegs["6"].peg_id
    venue = f"{VENUES}{world.venue.pk}/"
    fee = {"key": str(uuid.uuid4()), "amount": "5.00", "note": "cash"}
    entrant = at(world, f"entrants/{maud}/")
    new = {"name": "Linus Tern", "team": str(world.alders.pk), "junior": "yes", "consent": "yes"}
    weight = {
        "peg": "1", "net": "1", "kg": "4", "g": "250", "witness": "", "witness_of": "angler",
        "corrects": "", "sure": "",
    }  # fmt: skip
    return {
        "venue add": (VENUES, VENUE),
        "venue": (venue, VENUE),
        "peg add": (f"{venue}pegs/", {**PEG, "behind": str(peg)}),
        "peg": (f"{venue}pegs/{peg}/", PEG),
        "file kept": (f"{venue}file/", {"do": "import", "list": "a:b:c", "retire": "all"}),
        "sections": (
            at(world, "pegs/"),
            {"do": "up:0", "label-0": "A", "pegs-0": "1-3", "label-1": "B", "pegs-1": "4-6",
             "to": "3", "again": "yes"},
        ),
        "sections save": (
            at(world, "pegs/"),
            {"do": "save", "label-0": "A", "pegs-0": "1-2", "label-1": "B", "pegs-1": "3-6",
             "again": "yes"},
        ),
        "leave out": (
            at(world, "pegs/"), {"do": "leave-out", "pegs": "6", "reason": "r", "again": "yes"},
        ),
        "bring back": (at(world, "pegs/"), {"do": "back", "peg": "6"}),
        "match new": (
            "/desk/clubs/otterbeck/matches/new/",
            {**terms_typed(world.match), "like": str(world.match.pk)},
        ),
        "settings": (at(world, "settings/"), {"do": "save", **terms_typed(world.match)}),
        "call off": (at(world, "settings/"), {"do": "call-off", "reason": "flood"}),
        "scoring": (at(world, "scoring/"), {"do": "save", **scoring_typed(world.match)}),
        "enter": (
            at(world, "entries/"),
            {"do": "enter", "angler": "1", "team": str(world.alders.pk), "for": "team",
             "as": "entered"},
        ),
        "book": (at(world, "entries/"), {"do": "book-enter", **new}),
        "withdraw": (entrant, {"do": "withdraw", "substitute": "", "reason": "ill"}),
        "access": (entrant, {"do": "access", "needs": "yes"}),
        "account": (entrant, {"do": "account", "account": world.member.pk}),
        "take": (entrant, {"do": "take", **fee}),
        "give back": (entrant, {"do": "give-back", **fee}),
        "weigh": (at(world, "weigh/"), weight),
        "settle": (at(world, "weigh/settle/"), {"disagreement": "1", "stands": "x"}),
        "league new": ("/desk/clubs/otterbeck/new-league/", RULES),
        "league rules": (f"{LEAGUES}first-league/rules/", RULES),
        "league rounds": (
            f"{LEAGUES}first-league/rounds/", {f"round-{world.match.pk}": "1", "reason": "r"},
        ),
    }  # fmt: skip


def league(world: Any) -> League:
    return league_make(
        world.secretary, club=world.club, name="First League", of="anglers", rules={}
    )


def fish_scored(world: Any) -> None:
    Match.objects.filter(pk=world.match.pk).update(
        scored_by=ScoredBy.FISH, species=[{"name": "Roach", "points": 1}]
    )


NAMES = [
    "venue add", "venue", "peg add", "peg", "file kept", "sections", "sections save", "leave out",
    "bring back", "match new", "settings", "call off", "scoring", "enter", "book", "withdraw",
    "access", "take", "give back", "weigh", "settle", "league new", "league rules",
    "league rounds",
]  # fmt: skip


# Input that no form of ours sends --------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_no_field_of_a_form_brings_the_desk_down(world: Any, name: str) -> None:
    league(world)
    client = signed_in(world.secretary)
    address, typed = forms(world)[name]
    nasty = cycle(NASTY)
    for field, usual in typed.items():
        left = {key: text for key, text in typed.items() if key != field}
        some = [[usual, usual], *islice(nasty, OF_NASTY)]
        for sent in (left, *({**typed, field: one} for one in some)):
            with no_nul_asked():
                point = transaction.savepoint()
                assert client.post(address, sent).status_code in (200, 302, 400, 404), field
                transaction.savepoint_rollback(point)


def test_a_peg_behind_a_number_no_database_holds_comes_last(world: Any) -> None:
    address = f"{VENUES}{world.venue.pk}/pegs/"
    sent = {**PEG, "accessible": "", "behind": HUGE}
    assert signed_in(world.secretary).post(address, sent).status_code == 302
    assert Peg.objects.get(number="12").position == 7


@pytest.mark.parametrize("typed", [HUGE, "10001", "1.5", "-1"])
def test_a_count_of_fish_is_read_whole_or_refused(world: Any, typed: str) -> None:
    fish_scored(world)
    sent = {"peg": "1", "net": "1", "kg": "1", "g": "0", "fish-1": typed}
    answer = signed_in(world.secretary).post(at(world, "weigh/"), sent)
    assert answer.status_code == 400
    assert "count 0 to 10,000 whole fish" in answer.content.decode()
    assert not Fact.objects.exists()


@pytest.mark.parametrize("field", ["drop_worst", "minimum_rounds"])
@pytest.mark.parametrize("typed", [HUGE, "101", "0"])
def test_a_number_of_rounds_is_read_whole_or_refused(world: Any, field: str, typed: str) -> None:
    sent = {**RULES, field: typed}
    answer = signed_in(world.secretary).post("/desk/clubs/otterbeck/new-league/", sent)
    assert "Write a whole number from 1 to 100." in answer.content.decode()
    assert not League.objects.exists()


@pytest.mark.parametrize("typed", [HUGE, "101"])
def test_a_rounds_number_is_read_whole_or_refused(world: Any, typed: str) -> None:
    found = league(world)
    sent = {f"round-{world.match.pk}": typed}
    answer = signed_in(world.secretary).post(f"{LEAGUES}first-league/rounds/", sent)
    assert "number, 1 to 100, or nothing" in answer.content.decode()
    assert not found.rounds.exists()


def test_bringing_back_a_peg_no_database_holds_changes_nothing(world: Any) -> None:
    PegLeftOut.objects.create(match=world.match, peg=world.pegs["6"].peg, reason="flooded")
    before = AuditEntry.objects.count()
    with no_nul_asked():
        answer = signed_in(world.secretary).post(at(world, "pegs/"), {"do": "back", "peg": NUL})
    assert answer.status_code == 302
    assert PegLeftOut.objects.count() == 1 and AuditEntry.objects.count() == before


# Old pages and double taps ----------------------------------------------------------------------


def mark_of(page: str) -> str:
    found = re.search(r'name="mark" value="([0-9a-f]{16})"', page)
    assert found
    return found[1]


def test_an_old_page_of_settings_takes_back_nothing_that_another_changed(world: Any) -> None:
    match = undrawn(world)
    client, address = signed_in(world.secretary), at(world, "settings/")
    typed = {"do": "save", **terms_typed(match)}
    mark = mark_of(client.get(address).content.decode())
    sent = {**typed, "end_at": "16:00", "mark": mark}
    assert client.post(address, sent).status_code == 302
    assert client.post(address, sent).status_code == 302  # tapped twice: nothing differs
    old = client.post(address, {**typed, "name": "July Open", "mark": mark})
    page = old.content.decode()
    assert "Somebody changed this after you opened the page." in page
    assert 'value="July Open"' in page
    match.refresh_from_db()
    assert (match.name, terms_typed(match)["end_at"]) == ("June Open", "16:00")
    again = {**typed, "name": "July Open", "end_at": "16:00", "mark": mark_of(page)}
    assert client.post(address, again).status_code == 302
    match.refresh_from_db()
    assert match.name == "July Open"


def test_an_old_page_of_scoring_takes_back_nothing_that_another_changed(world: Any) -> None:
    match = undrawn(world)
    client, address = signed_in(world.secretary), at(world, "scoring/")
    typed = {"do": "save", **scoring_typed(match)}
    mark = mark_of(client.get(address).content.decode())
    assert client.post(address, {**typed, "ties": "same_best", "mark": mark}).status_code == 302
    old = client.post(address, {**typed, "cap": "22.5", "mark": mark}).content.decode()
    assert "Somebody changed this after you opened the page." in old
    match.refresh_from_db()
    assert (match.scheme["ties"], match.net_cap) == ("same_best", None)
    preset = client.post(address, {**typed, "do": "preset-international", "mark": mark})
    assert mark_of(preset.content.decode()) == mark  # still the page that it was
    again = {**typed, "cap": "22.5", "mark": mark_of(old)}
    assert client.post(address, again).status_code == 302
    match.refresh_from_db()
    assert match.net_cap == 22_500


# Names that are a page's own words, and who reads a junior's -------------------------------------

EVIL = "<script>x</script>"
PAGES = (
    "/desk/",
    VENUES,
    LEAGUES,
    "/board/otterbeck/",
    "/board/otterbeck/june-open/1/",
    "/board/otterbeck/june-open/1/card.svg",
    "/board/otterbeck/june-open/1/result.csv",
    "/board/otterbeck/june-open/1/result.json",
    "/board/otterbeck/june-open/1/result.txt",
    "/board/otterbeck/season.ics",
    "/api/v1/clubs/otterbeck/leagues",
)
PARTS = (
    *("", "entries/", "pegs/", "pegs/even/", "scoring/", "settings/"),
    *("weigh/", "weigh/changes/", "publish/"),
)
READ = ("", "/entries", "/pegs", "/bulletins", "/weigh-board")


def published(world: Any) -> None:
    """A result is out, in a league, of people, places and pegs with names of the worst sort."""
    Angler.objects.filter(pk=world.entries["Wilmot"].angler_id).update(junior=True)
    Angler.objects.filter(pk=world.entries["Maud"].angler_id).update(name=EVIL)
    world.venue.name = world.venue.water = world.venue.cautions = EVIL
    world.venue.save()
    Match.objects.filter(pk=world.match.pk).update(name=EVIL)
    Peg.objects.update(notes=EVIL)
    Section.objects.filter(match=world.match, label="A").update(label="<b>A</b>")
    Team.objects.filter(pk=world.alders.pk).update(name=EVIL)
    PegLeftOut.objects.create(match=world.match, peg=world.pegs["6"].peg, reason=EVIL)
    world.match.refresh_from_db()
    for peg, grams in {"1": 100, "2": 300, "4": 500, "5": 700}.items():
        weigh(world, peg, grams, witness=EVIL)
    rounds = league_make(world.secretary, club=world.club, name=EVIL, of="anglers", rules={})
    league_rounds_set(world.secretary, league=rounds, matches=[world.match.pk])
    bulletin_publish(world.secretary, match=world.match)


@pytest.mark.parametrize("who", ["secretary", "member", "rival", "weigher", "outsider", None])
def test_a_page_runs_no_name_writes_nothing_and_tells_no_juniors_name(
    world: Any, who: str | None
) -> None:
    published(world)
    client = signed_in(getattr(world, who)) if who else Client()
    address = f"/api/v1/matches/{world.match.pk}"
    pages = [*PAGES, *(at(world, part) for part in PARTS), *(address + part for part in READ)]
    open_to_all = [page for page in pages if page.startswith("/board/")]
    for page in pages:
        with CaptureQueriesContext(connection) as asked:
            answer = client.get(page)
        text = answer.content.decode()
        assert answer.status_code in (200, 302, 401, 403, 404), page
        assert answer.status_code == 200 or page not in open_to_all, page
        if answer["Content-Type"].startswith(("text/html", "image/svg")):
            assert EVIL not in text and "<b>A</b>" not in text, page
        if who not in ("secretary", "member"):  # the member is the junior
            assert "Wilmot Crane" not in text, page
        written = [q["sql"] for q in asked if re.match("INSERT|UPDATE|DELETE", q["sql"])]
        assert all("matches_signedin" in sql for sql in written), page


@pytest.mark.parametrize("picture", ["card.svg", "card-square.svg"])
def test_a_name_no_xml_may_hold_leaves_the_picture_a_picture(world: Any, picture: str) -> None:
    Angler.objects.filter(pk=world.entries["Maud"].angler_id).update(name="Ma\x08ud\x1b & \ufffe")
    weigh(world, "1", 900)
    world.match.refresh_from_db()
    bulletin_publish(world.secretary, match=world.match)
    answer = Client().get(f"/board/otterbeck/june-open/1/{picture}")
    texts = minidom.parseString(answer.content).getElementsByTagName("text")
    assert any("Maud &amp;" in text.toxml() for text in texts)


# A tired secretary -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"kg": "-4"}, "Key in 0 to"),
        ({"kg": "4", "g": "1250"}, "Key in 0 to"),
        ({"lb": "4", "oz": "2", "kg": "", "g": ""}, "Key in a weight"),
        ({"kg": "1001"}, "Key in 0 to 1000 kg."),
    ],
)
def test_a_weight_that_is_none_is_refused_in_words_and_stays_typed(
    world: Any, typed: dict[str, str], said: str
) -> None:
    sent = {"peg": "4", "net": "1", "kg": "4", "g": "0", "witness": "Odette", **typed}
    answer = signed_in(world.secretary).post(at(world, "weigh/"), sent)
    assert answer.status_code == 400
    page = answer.content.decode()
    assert said in page and 'value="Odette"' in page
    assert not WeighIn.objects.exists()


def test_a_result_of_blanks_only_is_worked_out_and_published(world: Any) -> None:
    for peg in ("1", "2", "4", "5"):
        weigh(world, peg, 0)
    client = signed_in(world.secretary)
    assert client.post(at(world, "publish/"), {"reason": ""}).status_code == 302
    assert client.get("/board/otterbeck/june-open/1/").status_code == 200
    assert client.get("/board/otterbeck/june-open/1/card.svg").status_code == 200


@pytest.mark.parametrize("of", ["a", "b"])
def test_no_secretary_settles_what_belongs_to_another_match(world: Any, of: str) -> None:
    weigh(world, "1", 900)
    weigh(world, "1", 950, by=world.secretary)
    doubt = Disagreement.objects.get()
    other = Match.objects.create(
        club=world.club if of == "a" else world.other_club,
        venue=world.venue,
        name="Other",
        slug="other",
        date=world.match.date,
        start_at=world.match.start_at,
        end_at=world.match.end_at,
    )
    person = world.secretary if of == "a" else world.outsider
    stands = str(doubt.facts.earliest("cseq").pk)
    sent = {"disagreement": doubt.pk, "stands": stands}
    signed_in(person).post(f"/desk/matches/{other.pk}/weigh/settle/", sent)
    doubt.refresh_from_db()
    assert doubt.ruling_id is None
