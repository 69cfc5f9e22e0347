"""What phones of earlier builds send is accepted for ever."""

from __future__ import annotations

import uuid
from typing import Any

import pytest

from matches.models import Fact, FactKind, WeighIn
from tests.builds.recorded import PUSHED, as_recorded, came, name_of, said

# What stands once a build's day has come: peg, net, weight. Of the other days, nothing is weighed.
STANDS = {
    "What the first build writes; database version 10.": [("1", 1, 4150), ("1", 2, 980)],
    "Fish counted in a net, and a net weighed again.": [("1", 1, 960)],
    "Long pushes go packed; database version 20.": [
        ("1", 1, 1000),
        ("1", 2, 2000),
        ("1", 3, 3000),
    ],
    "What a mate's phone signed and this one carries.": [("1", 1, 4250)],
}


@pytest.mark.fault("bodies of an earlier build")
@pytest.mark.parametrize("build", PUSHED, ids=name_of)
def test_what_an_earlier_build_sends_is_accepted(world: Any, build: dict[str, Any]) -> None:
    as_recorded(world)
    for expected in ("accepted", "duplicate"):
        for post in build["posts"]:
            answer = came(world, post)
            assert answer.status_code == 200, answer.content
            for one in answer.json().get("outcomes", []):
                assert one["outcome"] == expected, one
    facts = facts_of(build)
    assert Fact.objects.count() == len(facts)
    weights = WeighIn.objects.filter(stands=True)
    stands = sorted(weights.values_list("section_peg__peg__number", "net", "weight"))
    assert stands == STANDS.get(build["why"], [])


def facts_of(build: dict[str, Any]) -> list[dict[str, Any]]:
    return [fact for post in build["posts"] for fact in said(post).get("facts", [])]


def test_what_a_mate_signed_on_an_earlier_build_is_the_mates(world: Any) -> None:
    as_recorded(world)
    (build,) = [one for one in PUSHED if "carries" in one["why"]]
    for post in build["posts"]:
        came(world, post)
    whose = set(Fact.objects.values_list("author", "carried_by"))
    assert whose == {(world.member.pk, world.weigher.pk)}


def test_every_kind_that_a_phone_writes_is_recorded() -> None:
    """The secretary's rulings are written at the desk."""
    facts = [fact for build in PUSHED for fact in facts_of(build)]
    assert {fact["kind"] for fact in facts} == set(FactKind.values) - {FactKind.RULING}
    ids = [fact["id"] for fact in facts]
    assert len(ids) == len({uuid.UUID(name) for name in ids})
