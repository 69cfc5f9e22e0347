"""What phones of earlier builds send is accepted for ever."""

from __future__ import annotations

import json
import uuid
from pathlib import Path
from typing import Any

import pytest
from django.test import Client

from matches.models import Fact, FactKind, WeighIn

# One a build that changed what is sent: a day of its phone, recorded. Never edited, only added to.
BUILDS = json.loads((Path(__file__).parents[1] / "cases/pushed_by_builds.json").read_text())


@pytest.mark.fault("bodies of an earlier build")
@pytest.mark.parametrize("build", BUILDS, ids=[one["build"] for one in BUILDS])
def test_what_an_earlier_build_sends_is_accepted(world: Any, build: dict[str, Any]) -> None:
    client = Client()
    client.force_login(world.secretary)
    body = json.dumps(build["push"]).replace("{match}", str(world.match.pk))
    for expected in ("accepted", "duplicate"):
        answer = client.post("/api/v1/sync/facts", body, content_type="application/json")
        assert answer.status_code == 200
        outcomes = answer.json()["outcomes"]
        assert [one["outcome"] for one in outcomes] == [expected] * len(outcomes)
    assert Fact.objects.count() == len(build["push"]["facts"])
    weights = WeighIn.objects.values_list("section_peg__peg__number", "net", "weight", "stands")
    assert sorted(map(list, weights)) == build["stands"]


def test_every_kind_that_a_phone_writes_is_recorded() -> None:
    """The secretary's rulings are written at the desk."""
    kinds = {fact["kind"] for build in BUILDS for fact in build["push"]["facts"]}
    assert kinds == set(FactKind.values) - {FactKind.RULING}
    ids = [fact["id"] for build in BUILDS for fact in build["push"]["facts"]]
    assert len(ids) == len({uuid.UUID(name) for name in ids})
