"""Files that come in over HTTP: looked at, matched, imported once, and by the right people only."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from bait.models import Pack
from matches.models import (
    Angler,
    AuditEntry,
    Entry,
    ImportColumns,
    ImportFile,
    Membership,
    Peg,
    Role,
    Team,
    Venue,
)
from matches.writes.imports import import_files_sweep
from tests.clients import signed_in
from tests.sheets import file_of, xlsx
from web.imports.kinds import KINDS

FILES = "/desk/files/otterbeck/"
ROSTER = "Angler;Squad;Member No.;Jnr\nAda Löw;Otterbeck Alders;7;x\nmaud ferris;;12;\n"


@pytest.fixture
def desk(world: Any) -> Client:
    return signed_in(world.secretary)


def sent(client: Client, kind: str, raw: bytes | str, **more: Any) -> str:
    """Send a file; the address of the page it is shown on."""
    answer = client.post(f"{FILES}in/{kind}/", {"file": file_of(raw), **more})
    assert answer.status_code == 302, answer.content.decode()
    return str(answer.headers["Location"])


def page(client: Client, address: str) -> str:
    return client.get(address).content.decode()


def press(client: Client, address: str, seen: str | None = None) -> str:
    """Press “Import all of it” as the page has it; what is shown then."""
    seen = seen or page(client, address).split('name="seen" value="')[1].split('"')[0]
    form = {"do": "import", "seen": seen}
    return client.post(address, form, follow=True).content.decode()


def test_a_roster_is_looked_at_first_and_imported_once(world: Any, desk: Client) -> None:
    address = sent(desk, "anglers", ROSTER.encode("cp1252"))
    shown = page(desk, address)
    assert "Windows-1252" in shown and "Ada Löw" in shown and "Import all of it" in shown
    assert not Angler.objects.filter(name="Ada Löw").exists()
    trail = AuditEntry.objects.filter(verb="anglers_import")
    seen = shown.split('name="seen" value="')[1].split('"')[0]
    for _press in range(2):
        assert "Importing the same file again changes nothing" in press(desk, address, seen)
    ada = Angler.objects.get(name="Ada Löw")
    assert (ada.team, ada.number, ada.junior) == (world.alders, "7", True)
    maud = Angler.objects.get(number="12")
    assert (maud.name, maud.team) == ("Maud Ferris", world.alders)
    assert trail.count() == 1
    assert "up to date" in page(desk, sent(desk, "anglers", ROSTER))


def test_the_match_of_columns_is_changed_and_remembered(world: Any, desk: Client) -> None:
    raw = "Colour,Boat\nPip Sedge,Otterbeck Teals\n"
    address = sent(desk, "anglers", raw)
    assert "Say which column is: Name or Surname" in page(desk, address)
    desk.post(
        address, {"do": "match", "column-name": "0", "column-team": "1", "column-junior": "9"}
    )
    assert "Pip Sedge" in page(desk, address)
    press(desk, address)
    assert Angler.objects.get(name="Pip Sedge").team == world.teals
    assert ImportColumns.objects.get().columns == {"name": 0, "team": 1}
    assert "Tess Reed" in page(desk, sent(desk, "anglers", "colour,boat\nTess Reed,\n"))


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ("Name\nAda\nADA\n", "is in row 2 already"),
        ("Name,No\nAda,1\nBo,1\n", "is in row 2 already"),
        ("Name,Junior\nAda,perhaps\n", "Write yes or no"),
        ("Name,Team\n,Otterbeck Alders\n", "Write the angler’s name"),
        ("Name,No\nMaud Ferris,9\n", "and the name another’s"),
        ("Name\nAda\x07\n", "cannot be stored"),
        ("Name\nAda\u202egrub\n", "cannot be stored"),
        ("Name\n" + "a" * 121 + "\n", "at most 120 characters"),
    ],
)
def test_a_row_that_cannot_be_holds_up_all(world: Any, desk: Client, rows: str, words: str) -> None:
    Angler.objects.filter(name="Wilmot Crane").update(number="9")
    before = Angler.objects.count()
    shown = page(desk, sent(desk, "anglers", rows))
    assert words in shown and "All rows are imported or none" in shown
    assert 'name="seen"' not in shown and Angler.objects.count() == before


def test_what_changed_since_the_look_is_looked_at_again(world: Any, desk: Client) -> None:
    address = sent(desk, "anglers", "Name,Team\nAda,Otterbeck Alders\n")
    seen = page(desk, address).split('name="seen" value="')[1].split('"')[0]
    Angler.objects.create(club=world.club, name="Ada")
    assert "something changed since" in press(desk, address, seen)
    assert Angler.objects.get(name="Ada").team is None
    press(desk, address)
    assert Angler.objects.get(name="Ada").team == world.alders


def test_two_who_swap_numbers_do(world: Any, desk: Client) -> None:
    Angler.objects.filter(name="Maud Ferris").update(number="1")
    Angler.objects.filter(name="Wilmot Crane").update(number="2")
    rows = "Name,No,Team\nMaud Ferris,1,New Lot\nWilmot Crane,2,\n"
    address = sent(desk, "anglers", rows)
    assert "A new team: New Lot" in page(desk, address)
    press(desk, address)
    assert Team.objects.get(name="New Lot").anglers.get().name == "Maud Ferris"
    press(desk, sent(desk, "anglers", "Name,No\nMaud F.,1\nWil,2\n"))
    assert set(Angler.objects.exclude(number="").values_list("name", "number")) == {
        ("Maud F.", "1"),
        ("Wil", "2"),
    }


def test_a_blank_says_nothing_of_a_junior_and_consent_is_a_juniors_alone(
    world: Any, desk: Client
) -> None:
    Angler.objects.filter(name="Maud Ferris").update(junior=True, guardian_consents=True)
    rows = "Name,Junior,Consent\nMaud Ferris,,\nPerrin Stoat,no,yes\n"
    assert "up to date" in page(desk, sent(desk, "anglers", rows))
    press(desk, sent(desk, "anglers", "Name,Junior\nMaud Ferris,no\n"))
    maud = Angler.objects.get(name="Maud Ferris")
    assert (maud.junior, maud.guardian_consents) == (False, False)


def test_entrants_come_into_the_book_and_the_match(world: Any, desk: Client) -> None:
    world.match.drawn_pegs.all().delete()
    raw = xlsx(["Name", "Team"], ["Maud Ferris", None], ["Ada", "Otterbeck Alders"], ["Bo", None])
    address = sent(desk, "entrants", raw, about=world.match.pk)
    assert "June Open" in page(desk, address)
    press(desk, address)
    made = Entry.objects.filter(match=world.match, angler__name__in=["Ada", "Bo"])
    assert {(e.angler.name, e.team) for e in made} == {("Ada", world.alders), ("Bo", None)}
    again = sent(desk, "entrants", raw, about=world.match.pk)
    assert "up to date" in page(desk, again)


def test_entrants_after_the_draw_are_refused_whole(world: Any, desk: Client) -> None:
    address = sent(desk, "entrants", "Name\nAda\n", about=world.match.pk)
    assert "The pegs are drawn" in press(desk, address)
    assert not Angler.objects.filter(name="Ada").exists()


def test_pegs_come_from_columns_of_any_name_and_twice_is_once(world: Any, desk: Client) -> None:
    raw = xlsx(
        ["Swim", "Water depth", "Lat", "Lon", "Wires", "Remarks"],
        [2, 180, None, None, "no", None],
        [1, 210.0, "52,1", "-1,5", "x", "By the gate"],
        ["2a", None, None, None, None, None],
    )
    address = sent(desk, "pegs", raw, about=world.venue.pk)
    shown = page(desk, address)
    assert "Pegs change places" in shown and "4 pegs of the venue are not in the file" in shown
    press(desk, address)
    pegs = {p.number: p for p in Peg.objects.filter(venue=world.venue)}
    assert (pegs["1"].depth_cm, str(pegs["1"].latitude), pegs["1"].power_lines) == (
        210, "52.100000", True,
    )  # fmt: skip
    listed = [p for p in pegs.values() if p.number in ("1", "2", "2a")]
    assert [p.number for p in sorted(listed, key=lambda p: p.position)] == ["2", "1", "2a"]
    assert "up to date" in page(desk, sent(desk, "pegs", raw, about=world.venue.pk))


def test_what_is_no_table_is_told_where_it_is_chosen(world: Any, desk: Client) -> None:
    answer = desk.post(f"{FILES}in/anglers/", {"file": file_of(b"%PDF-1.4", "roster.csv")})
    assert "This is a PDF" in answer.content.decode()
    assert "Choose the file first" in desk.post(f"{FILES}in/anglers/", {}).content.decode()
    assert not ImportFile.objects.exists()


def test_a_file_is_its_senders_alone_for_a_day(world: Any, desk: Client) -> None:
    sent(desk, "anglers", "Name\nAda\n")
    address = sent(desk, "anglers", "Name\nAda\n")
    assert ImportFile.objects.count() == 1
    other = Client()
    Membership.objects.create(club=world.club, person=world.captain, role=Role.OWNER)
    other.force_login(world.captain)
    assert other.get(address).status_code == 404
    assert other.post(address, {"do": "import"}).status_code == 404
    ImportFile.objects.update(kept_at=timezone.now() - dt.timedelta(days=1, minutes=1))
    assert desk.get(address).status_code == 404
    assert import_files_sweep() == 1 and not ImportFile.objects.exists()


def test_who_lost_the_desk_meanwhile_imports_nothing(world: Any, desk: Client) -> None:
    address = sent(desk, "anglers", "Name\nAda\n")
    seen = page(desk, address).split('name="seen" value="')[1].split('"')[0]
    world.secretary.memberships.exclude(role="member").update(ended_at=timezone.now())
    answer = desk.post(address, {"do": "import", "seen": seen})
    assert answer.status_code == 403 and not Angler.objects.filter(name="Ada").exists()


def test_another_clubs_match_and_venue_are_not_there(world: Any, desk: Client) -> None:
    venue = Venue.objects.create(club=world.other_club, name="Elsewhere")
    for kind, about in (("pegs", venue.pk), ("pegs", "x"), ("entrants", 10**9), ("entrants", "")):
        answer = desk.post(f"{FILES}in/{kind}/", {"file": file_of("Peg\n1\n"), "about": about})
        assert answer.status_code == 404


def test_a_sample_of_each_kind_is_read_as_it_is(world: Any, desk: Client) -> None:
    about = {"venue": world.venue.pk, "match": world.match.pk, "shop": "hut", "club": ""}
    for key, kind in KINDS.items():
        raw = desk.get(f"{FILES}in/{key}/sample.csv").content
        shown = page(desk, sent(desk, key, raw, about=about[kind.about]))
        # Which venues the club has, no sample knows.
        words = "The club has no venue of this name" if key == "results" else "Import all of it"
        assert words in shown, key


def test_prices_come_in_from_a_captain_with_signs_of_money_and_units_behind(world: Any) -> None:
    captain = signed_in(world.captain)
    raw = xlsx(
        ["Item", "Pack size", "Our price", "From", "Bulk price"],
        ["Caster", "1 pint", "£4.40", 10, "3,90"],
        ["hemp", "2,5 kg", 7.5, None, None],
    )
    world.baits["hemp"].bulk_density_kg_per_l = 1
    world.baits["hemp"].save()
    address = sent(captain, "prices", raw, about="hut")
    shown = page(captain, address)
    assert "4.20" in shown and "Hemp 2.5 kg" in shown and "1 pack of the shop is not in" in shown
    press(captain, address)
    world.packs["caster"].refresh_from_db()
    assert world.packs["caster"].price_pence == 440
    assert Pack.objects.get(unit="kg").price_pence == 750
    assert "up to date" in page(captain, sent(captain, "prices", raw, about="hut"))
    for kind in ("anglers", "entrants", "pegs", "results"):
        assert captain.get(f"{FILES}in/{kind}/").status_code == 403


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ("Bait,Pack,Price\nCastor,1 pint,4.40\n", "Is it “Caster”?"),
        ("Bait,Pack,Price\nCaster,pint,4.40\n", "Write how much is in one pack"),
        ("Bait,Pack,Price\nCaster,1 pint,dear\n", "Write the price"),
        ("Bait,Pack,Price\nCaster,1e9 pint,1\n", "Write how much is in one pack"),
        ("Bait,Pack,Price,From\nCaster,1 pint,4.40,10\n", "Price from so many on"),
        ("Bait,Pack\nCaster,1 pint\n", "Say which column is: Price"),
    ],
)
def test_prices_that_cannot_be_are_told(world: Any, desk: Client, rows: str, words: str) -> None:
    shown = page(desk, sent(desk, "prices", rows, about="hut"))
    assert words in shown and 'name="seen"' not in shown
