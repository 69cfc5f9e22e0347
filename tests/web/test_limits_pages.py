"""A match's limits over HTTP: who reads and sets them, and how plans show what they use."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from bait.models import Bait, MatchLimit
from bait.writes.limits import limits_raw, limits_save, limits_version
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from matches.models import Angler, AuditEntry, Entry, Match
from tests.clients import read, signed_in

FLOAT = "Polish federation 2023, 7.7.5 and 7.7.9 (an official text, with a little doubt)"


@pytest.fixture
def address(world: Any) -> str:
    return f"/desk/matches/{world.match.pk}/limits/"


def sent(world: Any, do: str = "save", **changes: str) -> dict[str, str]:
    return {
        "do": do,
        "version": limits_version(limits_raw(Match.objects.get(pk=world.match.pk))),
        "groundbait_l": "20",
        "bait_l": "2,5",
        "source": "Club rule, page 4",
        **changes,
    }


def part(n: int = 0, **changes: str) -> dict[str, str]:
    fields = {
        "name": "Worms, uncut",
        "of": "family:worm",
        "use": "any",
        "form": "any",
        "allowed_l": "0.5",
        "source": "",
        **changes,
    }
    return {f"part-{n}-{key}": value for key, value in fields.items()}


def planned(world: Any, *stages: tuple[str, str, str, str], entry: Entry | None = None) -> None:
    raw = {
        "version": 0,
        "spare_percent": 0,
        "stages": [
            {
                "kind": kind,
                "line": f"{n}",
                "end_minute": 300,
                "feeds": [{"bait": bait, "amount": amount, "unit": unit}],
            }
            for n, (kind, bait, amount, unit) in enumerate(stages)
        ],
    }
    plan_save(
        world.secretary,
        entry=entry or world.entries["Wilmot"],
        content=plan_content_parse(raw),
    )


def bait_made(world: Any, key: str, **more: Any) -> Bait:
    return Bait.objects.create(
        club=world.club, key=key, name=key.capitalize(), **{"kind": "animal", "unit": "L", **more}
    )


@pytest.mark.parametrize(
    ("who", "reads", "writes"),
    [
        ("secretary", 200, 302),
        ("captain", 200, 403),
        ("member", 200, 403),
        ("weigher", 200, 403),
        ("outsider", 404, 404),
    ],
)
def test_the_club_reads_the_limits_and_its_secretary_sets_them(
    world: Any, address: str, who: str, reads: int, writes: int
) -> None:
    client = signed_in(getattr(world, who))
    answer = client.get(address)
    assert answer.status_code == reads
    if reads == 200:
        assert "The organiser’s rule always wins." in answer.content.decode()
        assert ("Save the limits" in answer.content.decode()) == (writes == 302)
    before = limits_raw(world.match)
    assert client.post(address, sent(world, **part())).status_code == writes
    assert (limits_raw(Match.objects.get(pk=world.match.pk)) == before) == (writes != 302)
    assert Client().get(address).status_code == 302


def test_limits_are_saved_with_their_parts_and_shown_again(world: Any, address: str) -> None:
    client = signed_in(world.secretary)
    parts = {
        **part(0),
        **part(1, name="Caster for the hook", of="bait:caster", use="hook", allowed_l="0,125"),
        **part(2, name="", allowed_l=""),
    }
    assert client.post(address, sent(world, groundbait_l="", **parts)).status_code == 302
    match = Match.objects.get()
    assert (match.groundbait_limit_l, match.bait_limit_l) == (None, Decimal("2.5"))
    assert match.limits_source == "Club rule, page 4"
    kept = MatchLimit.objects.values_list(
        "position", "name", "counts", "family", "bait__key", "use", "allowed_l"
    )
    assert list(kept) == [
        (1, "Worms, uncut", "animal", "worm", None, "any", Decimal("0.5")),
        (2, "Caster for the hook", "any", "", "caster", "hook", Decimal("0.125")),
    ]
    text = read(client, address)
    assert 'value="0.125"' in text and '<option value="bait:caster" selected>' in text
    audit = AuditEntry.objects.get(verb="limits.saved")
    assert audit.detail["before"]["groundbait_l"] == "20"
    reader = read(signed_in(world.member), address)
    assert "at most 0.125 L" in reader and "no limit set" in reader


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"groundbait_l": "-1"}, "Write litres such as 2.5"),
        ({"bait_l": "2.505"}, "at most 2 places"),
        ({"bait_l": "12345678901"}, "Write litres such as 2.5"),
        ({"source": "x" * 201}, "Keep this to 200 characters."),
        (part(name=" "), "Give the limit a name"),
        (part(allowed_l="lots"), "at most 3 places"),
        (part(allowed_l="1000"), "at most 3 places"),
        (part(of="bait:bloodworm"), "The club has no such bait any more"),
        (part(of="bait:"), "The club has no such bait any more"),
        (part(of="family:fish"), "Choose one of the list."),
        (part(of=""), "Choose one of the list."),
        (part(use="lunch"), "Choose one of the list."),
        ({**part(0), **part(1)}, "Another limit has this name"),
    ],
)
def test_what_is_wrong_is_marked_and_nothing_changes(
    world: Any, address: str, changes: dict[str, str], words: str
) -> None:
    before = limits_raw(world.match)
    answer = signed_in(world.secretary).post(address, sent(world, **changes))
    assert answer.status_code == 200
    text = answer.content.decode()
    assert words in text and 'aria-invalid="true"' in text and "Nothing is saved yet" in text
    assert limits_raw(Match.objects.get()) == before


def test_a_preset_is_taken_by_one_tap_with_its_source_and_can_be_undone(
    world: Any, address: str
) -> None:
    client = signed_in(world.secretary)
    client.post(address, sent(world, **part()))
    first = limits_raw(Match.objects.get())
    assert client.post(address, sent(world, do="preset-float")).status_code == 302
    taken = limits_raw(Match.objects.get())
    assert (taken["groundbait_l"], taken["bait_l"], taken["source"]) == ("20", "2.5", FLOAT)
    assert [(p["name"], p["use"], p["allowed_l"], p["source"]) for p in taken["parts"]] == [
        ("Chironomid larvae", "any", "1", FLOAT),
        ("Chironomid larvae for the hook", "hook", "0.5", FLOAT),
        ("Worms, uncut", "any", "0.5", FLOAT),
    ]
    assert "Undo my last change" in read(client, address)
    client.post(address, sent(world, do="undo"))
    assert limits_raw(Match.objects.get()) == first


def test_an_undo_is_not_offered_once_somebody_else_changed_the_limits(
    world: Any, address: str
) -> None:
    client = signed_in(world.secretary)
    client.post(address, sent(world, do="preset-feeder"))
    kept = limits_raw(Match.objects.get())
    limits_save(
        world.secretary,
        match=world.match,
        raw={**kept, "bait_l": "3"},
        version=limits_version(kept),
    )
    assert "Undo my last change" not in read(client, address)
    assert client.post(address, sent(world, do="undo")).status_code == 200
    assert Match.objects.get().bait_limit_l == 3


def test_a_preset_is_editable_and_an_unchanged_source_is_pointed_at(
    world: Any, address: str
) -> None:
    client = signed_in(world.secretary)
    client.post(address, sent(world, do="preset-float-older"))
    source = limits_raw(Match.objects.get())["source"]
    answer = client.post(address, sent(world, groundbait_l="18", source=source), follow=True)
    assert "their source did not" in answer.content.decode()
    assert Match.objects.get().groundbait_limit_l == 18


def test_every_preset_is_shown_with_how_sure_its_source_is(world: Any, address: str) -> None:
    text = read(signed_in(world.secretary), address)
    for words in (
        FLOAT,
        "Source: From memory or common practice, no source found.",
        "Source of the parts: 2018 summary (one secondary source).",
        "2006 report (one secondary source, with some doubt)",
    ):
        assert words in text


def test_two_secretaries_at_once_lose_nothing(world: Any, address: str) -> None:
    client = signed_in(world.secretary)
    mine = sent(world, bait_l="3")
    client.post(address, sent(world, do="preset-float"))
    answer = client.post(address, mine)
    text = answer.content.decode()
    assert answer.status_code == 200
    assert "The limits were changed meanwhile." in text and 'name="bait_l" value="3"' in text
    assert Match.objects.get().bait_limit_l == Decimal("2.5")
    assert client.post(address, sent(world, bait_l="3")).status_code == 302
    assert Match.objects.get().bait_limit_l == 3


def test_rows_come_and_go_and_a_bait_is_forbidden_without_losing_what_was_typed(
    world: Any, address: str
) -> None:
    client = signed_in(world.secretary)
    text = client.post(address, sent(world, do="add-part", bait_l="9")).content.decode()
    assert 'name="part-0-name"' in text and 'value="9"' in text and "not saved yet" in text
    text = client.post(address, sent(world, do="ban", ban="caster", **part())).content.decode()
    assert 'name="part-1-name" value="No Caster"' in text
    text = client.post(address, sent(world, do="drop-part-0", **part())).content.decode()
    assert 'name="part-0-name"' not in text
    for nonsense in ("drop-part-7", "drop-part-x", "ban", "preset-none", "x"):
        assert client.post(address, sent(world, do=nonsense)).status_code == 200
    assert not MatchLimit.objects.exists()


def test_a_plan_over_a_part_is_flagged_and_told_what_to_leave_out(world: Any) -> None:
    bait_made(world, "larvae", family="larvae")
    client = signed_in(world.secretary)
    client.post(f"/desk/matches/{world.match.pk}/limits/", sent(world, do="preset-float"))
    planned(world, ("hook", "larvae", "0.6", "L"), ("feed", "larvae", "0.3", "L"))
    team = read(
        signed_in(world.captain), f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/"
    )
    assert "over the limit" in team
    assert "Chironomid larvae for the hook: 0.1 L over." in team
    assert "Leave out 0.1 L of Larvae for the hook: carry 0.5 L." in team


def test_a_bait_forbidden_and_counted_in_pieces_is_still_forbidden(world: Any) -> None:
    bait_made(world, "lobworm", family="worm", unit="each")
    address = f"/desk/matches/{world.match.pk}/limits/"
    ban = part(name="No lobworm", of="bait:lobworm", allowed_l="0")
    signed_in(world.secretary).post(address, sent(world, **ban))
    planned(world, ("hook", "lobworm", "12", "each"))
    team = read(
        signed_in(world.captain), f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/"
    )
    assert "No lobworm: it is in the plan." in team and "Leave out all Lobworm." in team


def test_what_has_no_litres_is_said_to_be_unjudged_and_never_guessed(world: Any) -> None:
    bait_made(world, "lobworm", family="worm", unit="each")
    planned(world, ("hook", "lobworm", "12", "each"))
    team = read(
        signed_in(world.captain), f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/"
    )
    assert "cannot be judged" in team and "Not in litres, so not counted: Lobworm." in team
    assert "over the limit" not in team


def test_the_pages_take_few_queries(
    world: Any, address: str, django_assert_max_num_queries: Any
) -> None:
    client = signed_in(world.secretary)
    client.post(address, sent(world, do="preset-float"))
    read(client, address)
    with django_assert_max_num_queries(12):
        read(client, address)


def test_a_teams_page_judges_many_members_with_as_many_queries_as_one(
    world: Any, address: str
) -> None:
    bait_made(world, "larvae", family="larvae")
    signed_in(world.secretary).post(address, sent(world, do="preset-float"))
    heavy = [("hook", "larvae", "0.6", "L"), ("feed", "caster", "9", "pint")]
    planned(world, *heavy)
    team = f"/desk/teams/{world.alders.pk}/matches/{world.match.pk}/"
    client = signed_in(world.secretary)
    with CaptureQueriesContext(connection) as of_one:
        assert read(client, team).count("for the hook: 0.1 L over.") == 1
    for n in range(9):
        angler = Angler.objects.create(club=world.club, team=world.alders, name=f"Angler {n}")
        entry = Entry.objects.create(match=world.match, angler=angler, team=world.alders)
        planned(world, *heavy, entry=entry)
    with CaptureQueriesContext(connection) as of_ten:
        assert read(client, team).count("for the hook: 0.1 L over.") == 10
    assert len(of_ten) == len(of_one)


def test_the_api_lists_the_parts_after_the_two_wholes(world: Any, address: str) -> None:
    ban = part(name="No Caster", of="bait:caster", allowed_l="0")
    signed_in(world.secretary).post(address, sent(world, **ban))
    planned(world, ("feed", "caster", "1", "pint"))
    body = signed_in(world.member).get(f"/api/v1/matches/{world.match.pk}/plan").json()
    assert [(use["limit"], use["within"]) for use in body["limits"]] == [
        ("groundbait", True),
        ("bait", True),
        ("No Caster", False),
    ]
    # A pint is 0.56826125 L (UK Weights and Measures Act 1985), rounded up at the fourth place.
    assert body["limits"][2]["used_l"] == "0.5683"
