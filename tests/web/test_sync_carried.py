"""Facts that a mate's phone hands in: whose they are, and what no carrier can do to them."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest
from django.utils import timezone

from matches import models as m
from matches.problems import Problem
from matches.writes.device_keys import device_key_revoke
from tests.clients import signed_in
from tests.signing_phone import SigningPhone
from tests.web.pushing import URL, outcomes, pointers, push, words


@pytest.fixture
def phone(world: Any) -> SigningPhone:
    """Wilmot's, which has joined."""
    made = SigningPhone(world.member, world.match)
    made.join()
    return made


def code(outcome: dict[str, Any]) -> str:
    return str(outcome["problem"]["type"]).rpartition("/")[2]


def standing() -> list[tuple[str, int, str]]:
    rows = m.WeighIn.objects.filter(stands=True).select_related("fact__author", "section_peg__peg")
    return sorted((r.section_peg.peg.number, r.weight, r.fact.author.first_name) for r in rows)


# ---- taken ---------------------------------------------------------------------------------------


def test_a_carried_fact_is_its_authors_and_says_who_carried_it(
    world: Any, phone: SigningPhone
) -> None:
    (outcome,) = outcomes(push(world.rival, phone.signed(phone.fact())))
    assert (outcome["outcome"], outcome["cseq"]) == ("accepted", 1)
    stored = m.Fact.objects.get()
    assert (stored.author, stored.carried_by) == (world.member, world.rival)
    assert (stored.device, stored.seq) == (phone.device, 1)
    assert standing() == [("4", 1000, "Wilmot")]


def test_both_phones_send_and_there_is_one_row_each(world: Any, phone: SigningPhone) -> None:
    facts = [phone.fact(), phone.fact(peg="5"), phone.fact(kind="peg_note", body={"depth_cm": 180})]
    assert words(push(world.rival, *map(phone.signed, facts))) == ["accepted"] * 3
    assert words(push(world.member, *facts)) == ["duplicate"] * 3
    assert words(push(world.secretary, *map(phone.signed, facts))) == ["duplicate"] * 3
    assert m.Fact.objects.count() == 3
    assert {f.author for f in m.Fact.objects.all()} == {world.member}
    assert {f.carried_by for f in m.Fact.objects.all()} == {world.rival}


def test_the_carrier_learns_nothing_new_when_the_author_was_first(
    world: Any, phone: SigningPhone
) -> None:
    fact = phone.fact()
    push(world.member, fact)
    assert words(push(world.rival, phone.signed(fact))) == ["duplicate"]
    assert m.Fact.objects.get().carried_by is None


def test_own_and_carried_facts_go_in_one_batch_each_as_its_authors(
    world: Any, phone: SigningPhone
) -> None:
    mine = SigningPhone(world.rival, world.match)
    batch = [mine.fact(peg="5"), phone.signed(phone.fact()), mine.fact(peg="2")]
    assert words(push(world.rival, *batch)) == ["accepted"] * 3
    assert standing() == [("2", 1000, "Odette"), ("4", 1000, "Wilmot"), ("5", 1000, "Odette")]


def test_the_rights_are_the_authors(world: Any, phone: SigningPhone) -> None:
    """What a member may not send, a weigher's phone cannot carry for them, and the reverse."""
    signal: dict[str, Any] = {"kind": "signal", "peg": "", "body": {"signal": "start"}}
    (outcome,) = outcomes(push(world.weigher, phone.signed(phone.fact(**signal))))
    assert (outcome["outcome"], code(outcome)) == ("refused", "not-allowed")
    weighers = SigningPhone(world.weigher, world.match)
    weighers.join()
    assert words(push(world.member, weighers.signed(weighers.fact(**signal)))) == ["accepted"]


def test_a_carried_correction_is_its_authors_and_not_the_carriers(
    world: Any, phone: SigningPhone
) -> None:
    """Wilmot corrects what Odette logged: he is no weigher, though the carrier is."""
    theirs = SigningPhone(world.rival, world.match).fact()
    push(world.rival, theirs)
    change = phone.fact(supersedes=theirs["id"], body=theirs["body"] | {"weight": 900})
    (outcome,) = outcomes(push(world.weigher, phone.signed(change)))
    assert outcome["outcome"] == "disagrees"
    assert standing() == [("4", 1000, "Odette")]


def test_a_carrier_is_told_of_a_disagreement_but_not_with_whom(
    world: Any, phone: SigningPhone
) -> None:
    push(world.weigher, SigningPhone(world.weigher, world.match).fact())
    heavier = phone.fact(body={"net": 1, "weight": 1200, "unit": "g", "witness": None})
    (outcome,) = outcomes(push(world.rival, phone.signed(heavier)))
    assert outcome["outcome"] == "disagrees"
    assert "rivals" not in outcome


def test_a_fact_and_its_correction_carried_together_leave_the_correction(
    world: Any, phone: SigningPhone
) -> None:
    first = phone.fact()
    second = phone.fact(supersedes=first["id"], body=first["body"] | {"weight": 1100})
    batch = [phone.signed(second), phone.signed(first)]
    assert words(push(world.rival, *batch)) == ["accepted", "accepted"]
    assert standing() == [("4", 1100, "Wilmot")]


def test_a_carried_weigh_in_moves_a_drawn_match_on_in_its_authors_name(
    world: Any, phone: SigningPhone
) -> None:
    m.Match.objects.update(state=m.MatchState.DRAWN)
    push(world.rival, phone.signed(phone.fact()))
    assert m.Match.objects.get().state == m.MatchState.WEIGHING
    assert m.AuditEntry.objects.get(verb="weighing_begin").person == world.member


def test_signed_facts_handed_in_by_their_own_person_are_not_carried(
    world: Any, phone: SigningPhone
) -> None:
    assert words(push(world.member, phone.signed(phone.fact()))) == ["accepted"]
    assert m.Fact.objects.get().carried_by is None


def test_who_left_the_club_since_is_put_before_the_secretary(
    world: Any, phone: SigningPhone
) -> None:
    m.Membership.objects.filter(person=world.member).update(ended_at=timezone.now())
    (outcome,) = outcomes(push(world.rival, phone.signed(phone.fact())))
    assert outcome["outcome"] == "disagrees"
    assert m.Disagreement.objects.get().kind == "late"
    assert standing() == []


def test_what_a_revoked_key_signed_is_kept_and_weighs_nothing_until_a_ruling(
    world: Any, phone: SigningPhone
) -> None:
    device_key_revoke(world.member, key_id=m.DeviceKey.objects.get().pk)
    note = phone.fact(kind="peg_note", body={"depth_cm": 180})
    said = words(push(world.rival, phone.signed(phone.fact()), phone.signed(note)))
    assert said == ["disagrees", "accepted"]
    assert m.Disagreement.objects.get().kind == "late"
    assert standing() == []
    assert m.Fact.objects.count() == 2


# ---- refused -------------------------------------------------------------------------------------

Change = Callable[[dict[str, Any]], dict[str, Any]]
CHANGES: dict[str, Change] = {
    "one digit of the weight": lambda f: f | {"body": f["body"] | {"weight": 1001}},
    "the peg": lambda f: f | {"peg": "5"},
    "the number": lambda f: f | {"seq": 2},
    "the time": lambda f: f | {"recorded_at": "2026-06-20T13:05:11.251Z"},
    "the clock": lambda f: f | {"clock_offset_ms": 0},
    "another id": lambda f: f | {"id": "01890a5d-ac96-7000-8000-00000000abcd"},
    "another phone": lambda f: f | {"device": "01890a5d-ac96-4000-8000-00000000abcd"},
    "what it corrects": lambda f: f | {"supersedes": "01890a5d-ac96-7000-8000-00000000abcd"},
    "something more": lambda f: f | {"body": f["body"] | {"reweigh": True}},
    "half a signature": lambda f: f | {"carried": f["carried"] | {"signature": "AAAA"}},
    "no base64": lambda f: f | {"carried": f["carried"] | {"signature": "é" * 86}},
    "noughts": lambda f: f | {"carried": f["carried"] | {"signature": "A" * 86}},
}


@pytest.mark.parametrize("what", CHANGES)
def test_what_the_carrier_changes_is_refused_and_nothing_is_stored(
    world: Any, phone: SigningPhone, what: str
) -> None:
    changed = CHANGES[what](phone.signed(phone.fact()))
    (outcome,) = outcomes(push(world.rival, changed))
    assert (outcome["outcome"], code(outcome)) == ("refused", "bad-signature")
    assert pointers(outcome) == ["/carried/signature"]
    assert not m.Fact.objects.exists()
    assert not m.RefusedFact.objects.exists()  # the phone it is from still has it


def test_a_fact_moved_to_another_match_does_not_fit_its_signature(
    world: Any, phone: SigningPhone
) -> None:
    other = m.Match.objects.get()
    other.pk, other.slug = None, "july-open"
    other.save()
    (outcome,) = outcomes(push(world.rival, phone.signed(phone.fact()) | {"match": str(other.pk)}))
    assert code(outcome) == "bad-signature"


def test_a_carrier_cannot_send_it_as_somebody_elses(world: Any, phone: SigningPhone) -> None:
    """By another's key, signed for another person, or by the carrier's own key over it."""
    fact = phone.fact()
    mine = SigningPhone(world.rival, world.match)
    mine.join()
    others_key = phone.signed(fact)
    others_key["carried"]["key"] = mine.public_key
    for forged in (others_key, phone.signed(fact, person=world.rival), mine.signed(fact)):
        (outcome,) = outcomes(push(world.rival, forged))
        assert (outcome["outcome"], code(outcome)) == ("refused", "bad-signature")
    assert not m.Fact.objects.exists()


def test_a_signing_phones_fact_is_nobody_elses_without_its_signature(
    world: Any, phone: SigningPhone
) -> None:
    (outcome,) = outcomes(push(world.rival, phone.fact()))
    assert (outcome["outcome"], code(outcome)) == ("refused", "not-signed")
    assert pointers(outcome) == ["/carried"]
    assert not m.Fact.objects.exists()


def test_the_same_fact_of_two_people_is_two_facts(world: Any) -> None:
    """A phone without a key: who sends its facts first under their own name takes none of them."""
    keyless = SigningPhone(world.member, world.match)
    fact = keyless.fact()
    push(world.rival, fact)
    assert words(push(world.member, fact)) == ["clash"]


def test_a_phone_that_never_joined_is_not_believed(world: Any) -> None:
    stranger = SigningPhone(world.member, world.match)
    (outcome,) = outcomes(push(world.rival, stranger.signed(stranger.fact())))
    assert (outcome["outcome"], code(outcome)) == ("refused", "key-unknown")
    assert pointers(outcome) == ["/carried/key"]
    stranger.join()
    assert words(push(world.rival, stranger.signed(stranger.fact()))) == ["accepted"]


@pytest.mark.parametrize("kind", ["signal", "ruling"])
def test_what_takes_effect_at_once_is_not_taken_from_a_revoked_key(world: Any, kind: str) -> None:
    desk = SigningPhone(world.secretary, world.match)
    key = desk.join()
    device_key_revoke(world.secretary, key_id=key.pk)
    body = {"signal": "start"} if kind == "signal" else {"disagreement": 1, "stands": None}
    (outcome,) = outcomes(push(world.rival, desk.signed(desk.fact(kind=kind, body=body))))
    assert (outcome["outcome"], code(outcome)) == ("refused", "key-revoked")


def test_another_clubs_member_carries_nothing_here(world: Any, phone: SigningPhone) -> None:
    (outcome,) = outcomes(push(world.outsider, phone.signed(phone.fact())))
    assert (outcome["outcome"], code(outcome)) == ("refused", "not-found")
    assert not m.Fact.objects.exists()


def test_who_is_in_another_club_logs_nothing_here_whoever_carries_it(world: Any) -> None:
    foreign = SigningPhone(world.outsider, world.match)
    foreign.join()
    (outcome,) = outcomes(push(world.rival, foreign.signed(foreign.fact())))
    assert (outcome["outcome"], code(outcome)) == ("refused", "not-found")
    assert not m.Fact.objects.exists()


@pytest.mark.parametrize(
    ("carried", "at"),
    [
        ("yes", ["/carried"]),
        ({"key": "x"}, ["/carried/signature"]),
        ({"key": 1, "signature": "x"}, ["/carried/key"]),
        ({"key": "x", "signature": "x" * 101}, ["/carried/signature"]),
        ({"key": "x", "signature": "x", "person": "7"}, ["/carried/person"]),
    ],
)
def test_what_is_carried_in_no_known_form_is_pointed_at(
    world: Any, phone: SigningPhone, carried: Any, at: list[str]
) -> None:
    (outcome,) = outcomes(push(world.rival, phone.fact() | {"carried": carried}))
    assert pointers(outcome) == at


def test_half_a_character_in_a_signed_body_is_refused_and_the_rest_is_stored(
    world: Any, phone: SigningPhone
) -> None:
    good = phone.signed(phone.fact())
    bad = good | {"id": "01890a5d-ac96-7000-8000-00000000abcd"}
    bad["body"] = bad["body"] | {"witness": "\ud800"}
    assert words(push(world.rival, json.loads(json.dumps(bad)), good)) == ["refused", "accepted"]


def test_a_stored_facts_carrier_cannot_be_changed(world: Any, phone: SigningPhone) -> None:
    from django.db import IntegrityError

    push(world.rival, phone.signed(phone.fact()))
    with pytest.raises(IntegrityError):
        m.Fact.objects.update(carried_by=world.secretary)


def test_facts_of_many_people_take_as_many_queries_as_one(
    world: Any, django_assert_num_queries: Any
) -> None:
    people = [world.member, world.captain, world.weigher, world.secretary]
    phones = [SigningPhone(person, world.match) for person in people]
    for one in phones:
        one.join()
    note: dict[str, Any] = {"kind": "peg_note", "body": {"depth_cm": 180}}
    client = signed_in(world.rival)
    session = client.session  # it has sent before, so the session knows the phone
    session["device"] = str(phones[0].device)
    session.save()
    for times in (1, 40):
        facts = [p.signed(p.fact(**note)) for p in phones for _ in range(times // len(phones) or 1)]
        body = {"protocol": 1, "device": str(phones[0].device), "facts": facts[:times]}
        with django_assert_num_queries(15):
            answer = client.post(URL, json.dumps(body), content_type="application/json")
        assert words(answer) == ["accepted"] * times


# ---- keys ----------------------------------------------------------------------------------------


def test_nobody_revokes_anothers_key(world: Any, phone: SigningPhone) -> None:
    with pytest.raises(Problem):
        device_key_revoke(world.rival, key_id=m.DeviceKey.objects.get().pk)
    assert m.DeviceKey.objects.get().revoked_at is None
