"""A match's pegs over the API, from every role."""

from __future__ import annotations

from typing import Any

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from matches.models import Peg, PegLeftOut, SectionPeg


def pegs_for(world: Any, who: str | None) -> Any:
    client = Client(HTTP_HOST="localhost")
    if who is not None:
        client.force_login(getattr(world, who))
    return client.get(f"/api/v1/matches/{world.match.pk}/pegs")


def test_pegs_come_downstream_with_section_reason_and_ends(world: Any) -> None:
    SectionPeg.objects.filter(peg__number="3").delete()
    PegLeftOut.objects.create(match=world.match, peg=world.pegs["3"].peg, reason="Weed")
    Peg.objects.filter(number="6").update(
        side="left", along_m=60, latitude="52.100000", longitude="-1.2", power_lines=True
    )
    body = pegs_for(world, "member").json()
    assert body["sections"] == [
        {"label": "A", "pegs": ["1", "2"]},
        {"label": "B", "pegs": ["4", "5", "6"]},
    ]
    told = [(p["number"], p["section"], p["left_out"], p["end"]) for p in body["pegs"]]
    assert told == [
        ("1", "A", None, True),
        ("2", "A", None, True),
        ("3", None, "Weed", False),
        ("4", "B", None, True),
        ("5", "B", None, False),
        ("6", "B", None, True),
    ]
    assert body["pegs"][5] == {
        "number": "6",
        "section": "B",
        "left_out": None,
        "end": True,
        "side": "left",
        "along_m": 60,
        "depth_cm": 180,
        "latitude": "52.100000",
        "longitude": "-1.200000",
        "accessible": False,
        "power_lines": True,
        "steep_bank": False,
        "notes": "",
    }


def test_a_hundred_pegs_take_no_more_queries_than_six(world: Any) -> None:
    with CaptureQueriesContext(connection) as few:
        pegs_for(world, "member")
    Peg.objects.bulk_create(
        Peg(venue=world.venue, number=f"x{n}", position=n) for n in range(10, 110)
    )
    with CaptureQueriesContext(connection) as many:
        assert len(pegs_for(world, "member").json()["pegs"]) == 106
    assert len(many) == len(few)
