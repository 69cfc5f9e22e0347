"""Publishing: numbered, unchangeable, with a digest; corrections say why and what changed."""

from __future__ import annotations

import hashlib
import json
from typing import Any

import pytest
from django.db import IntegrityError, transaction

from matches.models import AuditEntry, Bulletin, EntryStatus, MatchState
from matches.problems import Code, Problem
from matches.reckon.canonical import canonical_digest
from matches.writes.bulletins import bulletin_publish
from matches.writes.draws import draw_commit, draw_hold
from matches.writes.entries import entry_status_set
from tests.fished import publish, weigh

pytestmark = pytest.mark.django_db


def all_weighed(world: Any) -> dict[str, Any]:
    return {peg: weigh(world, peg, 1000 * int(peg)) for peg in "1245"}


def state(world: Any) -> str:
    world.match.refresh_from_db()
    return world.match.state


def test_the_first_bulletin_is_number_one_and_the_match_is_provisional(world: Any) -> None:
    weigh(world, "1", 4250)
    bulletin = publish(world)
    assert (bulletin.number, bulletin.confirmed, bulletin.reason) == (1, False, "")
    assert state(world) == MatchState.PROVISIONAL
    assert bulletin.body["to_weigh"] == 3
    assert bulletin.body["before"] is None
    assert bulletin.body["biggest"] == {
        "angler": "Maud Ferris",
        "team": "Otterbeck Alders",
        "peg": "1",
        "weight": 4250,
    }


def test_the_digest_is_of_the_canonical_json_as_it_comes_back_from_the_database(world: Any) -> None:
    weigh(world, "1", 4250)
    bulletin = Bulletin.objects.get(pk=publish(world).pk)
    text = json.dumps(
        bulletin.body, sort_keys=True, separators=(",", ":"), ensure_ascii=False
    ).encode()
    assert bulletin.digest == hashlib.sha256(text).hexdigest() == canonical_digest(bulletin.body)


def test_publishing_leaves_one_line_in_the_trail(world: Any) -> None:
    bulletin = publish(world)
    line = AuditEntry.objects.get(verb="bulletin_publish")
    assert (line.person, line.detail["bulletin"]) == (world.secretary, 1)
    assert line.detail["digest"] == bulletin.digest


def test_confirming_closes_the_match(world: Any) -> None:
    all_weighed(world)
    assert publish(world, confirmed=True).confirmed is True
    assert state(world) == MatchState.CONFIRMED


def test_confirming_what_was_provisional_needs_no_reason(world: Any) -> None:
    all_weighed(world)
    first = publish(world)
    second = publish(world, confirmed=True)
    assert (second.number, second.reason) == (2, "Confirmed without a change.")
    assert second.body["changes"] == []
    assert second.body["before"] == first.digest


def test_a_result_with_an_open_disagreement_cannot_be_confirmed(world: Any) -> None:
    all_weighed(world)
    weigh(world, "1", 1500)
    with pytest.raises(Problem) as refused:
        publish(world, confirmed=True)
    assert refused.value.code is Code.CONFLICT
    assert "Settle what disagrees before you confirm: 1 still open." in refused.value.detail
    assert Bulletin.objects.count() == 0
    assert state(world) == MatchState.WEIGHING
    assert publish(world).body["disagreements"] == 1


def test_a_result_with_somebody_still_to_weigh_cannot_be_confirmed(world: Any) -> None:
    weigh(world, "1", 1000)
    with pytest.raises(Problem, match="Still to weigh: 2 Perrin Stoat, 4 Wilmot Crane"):
        publish(world, confirmed=True)
    assert Bulletin.objects.count() == 0


def test_a_correction_needs_a_reason_and_shows_what_changed(world: Any) -> None:
    facts = all_weighed(world)
    publish(world)
    weigh(world, "1", 7000, supersedes=facts["1"].pk)
    with pytest.raises(Problem) as refused:
        publish(world)
    assert refused.value.faults[0].pointer == "/reason"
    bulletin = publish(world, reason="The sheet for peg 1 was read wrongly.")
    changes = {(c["kind"], c["where"], c["what"]): c for c in bulletin.body["changes"]}
    assert changes["peg", "1", "weight"]["before"] == 1000
    assert changes["peg", "1", "weight"]["after"] == 7000
    assert changes["peg", "1", "place"]["before"] == "2"
    assert changes["peg", "1", "place"]["after"] == "1"
    assert changes["peg", "2", "place"]["after"] == "2"
    assert ("peg", "4", "weight") not in changes
    assert changes["team", "Otterbeck Alders", "points"]["after"] == "3"


def test_the_bulletin_before_stays_as_it_was(world: Any) -> None:
    facts = all_weighed(world)
    first = publish(world)
    body = json.dumps(first.body, sort_keys=True)
    weigh(world, "1", 7000, supersedes=facts["1"].pk)
    publish(world, reason="Read wrongly.")
    first.refresh_from_db()
    assert json.dumps(first.body, sort_keys=True) == body


def test_the_database_refuses_to_change_a_bulletin(world: Any) -> None:
    bulletin = publish(world)
    bulletin.reason = "Nobody saw."
    with pytest.raises(IntegrityError, match="fixed once written"), transaction.atomic():
        bulletin.save()


def test_a_bulletin_that_says_nothing_new_is_refused(world: Any) -> None:
    all_weighed(world)
    publish(world)
    with pytest.raises(Problem, match="Bulletin 1 says exactly this already"):
        publish(world, reason="Again.")
    assert Bulletin.objects.count() == 1


def test_a_late_change_after_confirmation_comes_out_as_a_correction(world: Any) -> None:
    all_weighed(world)
    publish(world, confirmed=True)
    entry_status_set(
        world.secretary,
        match=world.match,
        entry_id=world.entries["Odette"].pk,
        status=EntryStatus.DISQUALIFIED,
        reason="Fished two rods.",
    )
    bulletin = publish(world, confirmed=True, reason="A complaint was upheld.")
    assert (bulletin.number, bulletin.confirmed) == (2, True)
    statuses = [c for c in bulletin.body["changes"] if c["what"] == "status"]
    assert [(c["where"], c["after"]) for c in statuses] == [("5", "disqualified")]
    assert "Fished two rods" not in json.dumps(bulletin.body)


def test_without_a_draw_there_is_nothing_to_publish(world: Any) -> None:
    world.match.drawn_pegs.all().delete()
    with pytest.raises(Problem, match="hold the draw first"):
        publish(world)


@pytest.mark.parametrize("who", ["weigher", "captain", "member", "rival"])
def test_no_other_role_publishes(world: Any, who: str) -> None:
    with pytest.raises(Problem) as refused:
        bulletin_publish(getattr(world, who), match=world.match)
    assert refused.value.code is Code.NOT_ALLOWED
    assert Bulletin.objects.count() == 0


def test_for_an_outsider_the_match_does_not_exist(world: Any) -> None:
    with pytest.raises(Problem) as refused:
        bulletin_publish(world.outsider, match=world.match)
    assert refused.value.code is Code.NOT_FOUND


def test_a_junior_is_published_by_initials_without_consent_and_by_name_with_it(world: Any) -> None:
    angler = world.entries["Odette"].angler
    angler.junior = True
    angler.save()
    assert "Odette" not in json.dumps(publish(world).body)
    angler.guardian_consents = True
    angler.save()
    assert "Odette Marl" in json.dumps(publish(world, reason="Consent came in.").body)


def test_the_draw_in_force_is_published_with_its_seed(world: Any) -> None:
    draw_commit(world.secretary, match=world.match, mode="team")
    held = draw_hold(world.secretary, match=world.match)
    assert publish(world).body["draw"] == {
        "number": 1,
        "commitment": held.commitment,
        "seed": held.seed,
    }
