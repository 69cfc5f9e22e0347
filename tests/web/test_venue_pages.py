"""A club's venues and pegs over HTTP, as each role meets them."""

from __future__ import annotations

import io
import json
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from matches.models import AuditEntry, Peg, PegLeftOut, Venue
from tests.clients import signed_in

VENUES = "/desk/venues/otterbeck/"
PLACE = {"name": "Priory Bend", "water": "Wend", "timezone": "Europe/London", "cautions": ""}
PEG = {
    "number": "7",
    "side": "left",
    "along_m": "72",
    "depth_cm": "210",
    "latitude": "",
    "longitude": "",
    "notes": "",
}
CSV = "number,depth_cm,steep_bank\n1,180,no\n2,999,yes\n7,150,no\n"
QUERIES_MOST = 10


def venue_at(world: Any, more: str = "") -> str:
    return f"{VENUES}{world.venue.pk}/{more}"


def peg_at(world: Any, number: str) -> str:
    return venue_at(world, f"pegs/{Peg.objects.get(venue=world.venue, number=number).pk}/")


def file_of(text: str, name: str = "pegs.csv") -> io.BytesIO:
    sent = io.BytesIO(text.encode())
    sent.name = name
    return sent


def look(client: Client, world: Any, text: str) -> str:
    answer = client.post(venue_at(world, "file/"), {"do": "look", "file": file_of(text)})
    return str(answer.content.decode())


def kept(page: str) -> str:
    return page.split('name="list" value="')[1].split('"')[0]


def numbers(world: Any) -> list[str]:
    return [peg.number for peg in Peg.objects.filter(venue=world.venue).order_by("position")]


@pytest.fixture
def secretary(world: Any) -> Client:
    return signed_in(world.secretary)


# Who may -------------------------------------------------------------------------------------

PAGES = ["", "{venue}/", "{venue}/pegs/", "{venue}/pegs/{peg}/", "{venue}/file/"]


def address(world: Any, form: str) -> str:
    peg = Peg.objects.get(venue=world.venue, number="3")
    return VENUES + form.format(venue=world.venue.pk, peg=peg.pk)


@pytest.mark.parametrize(
    ("form", "sent"),
    [
        ("", PLACE),
        ("{venue}/", PLACE),
        ("{venue}/pegs/", PEG),
        ("{venue}/pegs/{peg}/", {**PEG, "do": "save"}),
        ("{venue}/pegs/{peg}/", {"do": "up"}),
        ("{venue}/pegs/{peg}/", {"do": "retire"}),
        ("{venue}/pegs/{peg}/", {"do": "delete"}),
        ("{venue}/file/", {"do": "import"}),
    ],
)
def test_who_may_not_changes_nothing(world: Any, form: str, sent: dict[str, str]) -> None:
    before = [*Venue.objects.values(), *Peg.objects.order_by("pk").values()]
    assert signed_in(world.captain).post(address(world, form), sent).status_code == 403
    assert [*Venue.objects.values(), *Peg.objects.order_by("pk").values()] == before
    assert AuditEntry.objects.count() == 0


def test_a_venue_or_peg_of_another_place_is_not_found(world: Any, secretary: Client) -> None:
    other = Venue.objects.create(club=world.other_club, name="Larkmill Pool")
    foreign = Peg.objects.create(venue=other, number="1", position=1)
    assert secretary.get(f"{VENUES}{other.pk}/").status_code == 404
    assert secretary.get(venue_at(world, f"pegs/{foreign.pk}/")).status_code == 404
    assert secretary.get(f"/desk/venues/larkmill/{other.pk}/").status_code == 404
    assert secretary.get("/desk/venues/nowhere/").status_code == 404


# Venues --------------------------------------------------------------------------------------


def test_a_venue_is_added_then_changed_with_one_row_of_the_trail_each(
    world: Any, secretary: Client
) -> None:
    added = secretary.post(VENUES, PLACE, follow=True)
    made = Venue.objects.get(name="Priory Bend")
    assert added.redirect_chain == [(f"{VENUES}{made.pk}/", 302)]
    assert "give it its pegs" in added.content.decode()
    changed = {**PLACE, "timezone": "Europe/Lisbon", "cautions": "Floods."}
    for _ in range(2):
        secretary.post(f"{VENUES}{made.pk}/", changed)
    made.refresh_from_db()
    assert (made.timezone, made.cautions) == ("Europe/Lisbon", "Floods.")
    assert list(AuditEntry.objects.order_by("pk").values_list("verb", "person_id")) == [
        ("venue_add", world.secretary.pk),
        ("venue_change", world.secretary.pk),
    ]


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"name": " "}, "Say what the venue is called."),
        ({"name": "tolling MEADOW"}, "A venue of the club is called that"),
        ({"name": "x" * 121}, "Write at most 120 characters."),
        ({"timezone": "Wend/Time"}, "There is no time zone of this name"),
        ({"timezone": "../etc/passwd"}, "There is no time zone of this name"),
        ({"cautions": "a\0b"}, "A character here cannot be stored"),
    ],
)
def test_a_wrong_venue_is_refused_at_its_field_and_what_was_typed_stays(
    secretary: Client, wrong: dict[str, str], said: str
) -> None:
    page = secretary.post(VENUES, {**PLACE, "water": "Wend above", **wrong}).content.decode()
    assert said in page
    assert "Wend above" in page
    assert Venue.objects.filter(club__slug="otterbeck").count() == 1


# Pegs ----------------------------------------------------------------------------------------


def test_a_peg_is_added_behind_another_and_the_order_says_so(world: Any, secretary: Client) -> None:
    behind = Peg.objects.get(venue=world.venue, number="2")
    secretary.post(venue_at(world, "pegs/"), {**PEG, "behind": behind.pk, "power_lines": "on"})
    assert numbers(world) == ["1", "2", "7", "3", "4", "5", "6"]
    positions = Peg.objects.order_by("position").values_list("position", flat=True)
    assert list(positions) == [1, 2, 3, 4, 5, 6, 7]
    made = Peg.objects.get(number="7")
    assert (made.side, made.along_m, made.depth_cm, made.power_lines) == ("left", 72, 210, True)
    assert AuditEntry.objects.get().verb == "peg_add"


def test_a_wrong_peg_is_refused_with_every_fault_at_its_field(
    world: Any, secretary: Client
) -> None:
    sent = {**PEG, "number": "3", "depth_cm": "deep", "latitude": "52", "behind": "x"}
    page = secretary.post(venue_at(world, "pegs/"), sent).content.decode()
    assert "from 0 to 5,000" in page
    assert "The longitude is missing" in page
    page = secretary.post(venue_at(world, "pegs/"), {**PEG, "number": "3"}).content.decode()
    assert "Another peg has this number" in page
    assert len(numbers(world)) == 6


def test_a_peg_moves_past_its_neighbour_and_stops_at_the_end(world: Any, secretary: Client) -> None:
    Peg.objects.filter(number="3").update(retired=True)
    here = peg_at(world, "2")
    assert "Move downstream of peg 4" in secretary.get(here).content.decode()
    secretary.post(here, {"do": "down"})
    assert numbers(world) == ["1", "3", "4", "2", "5", "6"]
    secretary.post(here, {"do": "up"})
    secretary.post(here, {"do": "up"})
    assert numbers(world)[:2] == ["2", "1"]
    said = secretary.post(here, {"do": "up"}, follow=True).content.decode()
    assert "the last on that side already" in said
    assert AuditEntry.objects.count() == 3


def test_a_peg_named_by_a_match_is_retired_never_deleted(world: Any, secretary: Client) -> None:
    here = peg_at(world, "3")
    assert "Delete the peg" not in secretary.get(here).content.decode()
    said = secretary.post(here, {"do": "delete"}, follow=True).content.decode()
    assert "Retire it instead" in said
    for _ in range(2):
        secretary.post(here, {"do": "retire"})
    assert Peg.objects.get(number="3").retired
    assert AuditEntry.objects.get().verb == "peg_retire"
    assert "1 retired peg" in secretary.get(venue_at(world)).content.decode()
    secretary.post(here, {"do": "back"})
    assert not Peg.objects.get(number="3").retired


def test_a_peg_left_out_of_a_match_is_named_by_it_too(world: Any, secretary: Client) -> None:
    peg = Peg.objects.create(venue=world.venue, number="9", position=9)
    out = PegLeftOut.objects.create(match=world.match, peg=peg, reason="Weed")
    secretary.post(peg_at(world, "9"), {"do": "delete"})
    assert Peg.objects.filter(number="9").exists()
    out.delete()
    secretary.post(peg_at(world, "9"), {"do": "delete"})
    assert not Peg.objects.filter(number="9").exists()


def test_who_retires_a_peg_of_a_planned_match_is_told_which(world: Any, secretary: Client) -> None:
    type(world.match).objects.update(state="planned")
    said = secretary.post(peg_at(world, "3"), {"do": "retire"}, follow=True).content.decode()
    assert "Leave it out of June Open too." in said


def test_a_drawn_peg_keeps_its_number_and_another_may_get_a_new_one(
    world: Any, secretary: Client
) -> None:
    page = secretary.post(peg_at(world, "1"), {**PEG, "number": "1a"}).content.decode()
    assert "Peg 1 was drawn or logged in June Open" in page
    secretary.post(peg_at(world, "3"), {**PEG, "number": "3a"})
    assert numbers(world) == ["1", "2", "3a", "4", "5", "6"]
    secretary.post(peg_at(world, "1"), {**PEG, "number": "1"})
    assert Peg.objects.get(number="1").depth_cm == 210


# Files ---------------------------------------------------------------------------------------


def test_a_file_is_looked_at_then_imported_whole(world: Any, secretary: Client) -> None:
    page = look(secretary, world, CSV)
    assert "1 new, 1 changed, 0 brought back, 1 as they are." in page
    assert "<del>180</del> → 999" in page
    assert Peg.objects.count() == 6
    gone = Peg.objects.get(number="5").pk
    sent = {"do": "import", "list": kept(page), "retire": [gone, Peg.objects.get(number="1").pk]}
    said = secretary.post(venue_at(world, "file/"), sent, follow=True).content.decode()
    assert "1 new, 1 changed, 0 brought back, 1 retired" in said
    assert numbers(world) == ["1", "2", "3", "4", "5", "6", "7"]
    assert list(Peg.objects.filter(retired=True).values_list("number", flat=True)) == ["5"]
    two = Peg.objects.get(number="2")
    assert (two.depth_cm, two.steep_bank) == (999, True)
    assert AuditEntry.objects.get().verb == "pegs_import"


def test_a_file_with_a_fault_imports_nothing_and_says_where(world: Any, secretary: Client) -> None:
    page = look(secretary, world, "number,depth_cm\n1,100\n2,x\n2,3\n")
    assert "Nothing is imported" in page
    assert '<td>3</td><td class="column">depth_cm</td>' in page
    feature = {"type": "Feature", "geometry": {"type": "LineString"}, "properties": {"number": 1}}
    text = json.dumps({"type": "FeatureCollection", "features": [feature]})
    assert '<td>1</td><td class="column">geometry</td>' in look(secretary, world, text)
    assert (
        "Choose the file first"
        in secretary.post(venue_at(world, "file/"), {"do": "look"}).content.decode()
    )
    assert Peg.objects.filter(depth_cm=180).count() == 6


def test_a_file_in_another_order_moves_pegs_and_says_so(world: Any, secretary: Client) -> None:
    page = look(secretary, world, "number\n2\n1\n")
    assert "Pegs change places" in page
    secretary.post(venue_at(world, "file/"), {"do": "import", "list": kept(page)})
    assert numbers(world) == ["2", "3", "4", "5", "6", "1"]


def test_a_retired_peg_in_a_file_comes_back(world: Any, secretary: Client) -> None:
    Peg.objects.filter(number="6").update(retired=True)
    page = look(secretary, world, "number\n6\n")
    assert "0 new, 0 changed, 1 brought back, 0 as they are." in page
    secretary.post(venue_at(world, "file/"), {"do": "import", "list": kept(page)})
    assert not Peg.objects.get(number="6").retired


def test_a_list_kept_for_another_venue_is_refused(world: Any, secretary: Client) -> None:
    page = look(secretary, world, CSV)
    other = Venue.objects.create(club=world.club, name="Priory Bend")
    answer = secretary.post(f"{VENUES}{other.pk}/file/", {"do": "import", "list": kept(page)})
    assert "not for this page" in answer.content.decode()
    assert Peg.objects.count() == 6


@pytest.mark.parametrize("kind", ["csv", "geojson"])
def test_what_is_exported_imports_as_nothing_new(world: Any, secretary: Client, kind: str) -> None:
    Peg.objects.filter(number="2").update(
        side="right",
        along_m=12,
        latitude="-0.000010",
        longitude="-1.234567",
        accessible=True,
        notes='=1+1\n\'="quoted", and more',
    )
    Peg.objects.filter(number="4").update(retired=True, depth_cm=None)
    before = list(Peg.objects.order_by("pk").values())
    text = secretary.get(venue_at(world, f"pegs.{kind}")).content.decode()
    page = look(secretary, world, text)
    assert "0 new, 0 changed, 0 brought back, 5 as they are." in page
    assert "there is nothing to import" in page
    secretary.post(venue_at(world, "file/"), {"do": "import", "list": kept(page)})
    assert list(Peg.objects.order_by("pk").values()) == before
    assert AuditEntry.objects.count() == 0


def test_geojson_has_its_media_type_and_longitude_first(world: Any, secretary: Client) -> None:
    Peg.objects.filter(number="1").update(latitude="52.5", longitude="-1.25")
    answer = secretary.get(venue_at(world, "pegs.geojson"))
    assert answer["Content-Type"] == "application/geo+json"
    assert "tolling-meadow-pegs.geojson" in answer["Content-Disposition"]
    features = json.loads(answer.content)["features"]
    assert features[0]["geometry"] == {"type": "Point", "coordinates": [-1.25, 52.5]}
    assert features[1]["geometry"] is None


@pytest.mark.parametrize("form", PAGES)
def test_pages_of_a_venue_ask_as_little_with_three_hundred_pegs(
    world: Any, secretary: Client, form: str
) -> None:
    Peg.objects.bulk_create(
        Peg(venue=world.venue, number=f"x{n}", position=n, depth_cm=n) for n in range(10, 310)
    )
    with CaptureQueriesContext(connection) as caught:
        assert secretary.get(address(world, form)).status_code == 200
    assert len(caught) <= QUERIES_MOST
