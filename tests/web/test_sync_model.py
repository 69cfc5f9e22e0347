"""Phones and server against a model: whatever is lost, late, doubled or put back, it comes right.

`MODEL_EXAMPLES=1000 pytest tests/web/test_sync_model.py` looks for longer.
"""

from __future__ import annotations

import copy
import os
from collections import defaultdict
from typing import Any

import pytest
from django.db import transaction
from django.utils import timezone
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from matches.models import Disagreement, Fact, Membership, WeighIn
from matches.writes.facts import weigh_ins_project
from matches.writes.restores import epoch_renew
from tests.thorough import trials
from tests.web.phone import TOLD, Phone

EXAMPLES = int(os.environ.get("MODEL_EXAMPLES", trials(12, in_full=25)))
PEGS = st.sampled_from(["1", "2", "3"])
WEIGHTS = st.sampled_from([0, 900, 4250])
PHONES = st.integers(0, 3)
PICK = st.integers(0, 30)
CLOCKS = st.sampled_from(
    ["2016-06-20T13:05:11Z", "2026-10-25T01:30:00+01:00", "2036-02-29T00:00:00Z"]
)


class Model:
    """What must be true of the server, in as few words as it takes.

    `written`: every fact a phone has called kept, with its author. `here`: the numbers the server
    gave out. `gone`: what a copy put back took away again and no phone has brought back.
    """

    def __init__(self) -> None:
        self.written: dict[str, tuple[int, dict[str, Any]]] = {}
        self.here: dict[str, int] = {}
        self.turned_away: set[str] = set()
        self.gone: set[str] = set()

    def answer(self, fact: dict[str, Any], outcome: dict[str, Any]) -> None:
        """Check one outcome, and learn from it."""
        word, known = outcome["outcome"], self.here.get(fact["id"])
        mine = fact == self.written[fact["id"]][1]
        if not mine:
            assert word == "clash"
        elif known is not None:
            assert (word, outcome["cseq"]) == ("duplicate", known)
        elif word == "refused":
            assert fact["kind"] == "scratch"  # of what somebody else logged
            self.turned_away.add(fact["id"])
        else:
            assert word in TOLD - {"duplicate"}
            assert outcome["cseq"] == len(self.here) + 1
            self.here[fact["id"]] = outcome["cseq"]
            self.gone.discard(fact["id"])

    def put_back(self, copied: dict[str, int]) -> None:
        self.gone |= self.here.keys() - copied.keys()
        self.here = dict(copied)


class Bank(RuleBasedStateMachine):
    """Maud with two phones, Tamsin the weigher, Wilmot with the build before; one bad network."""

    world: Any

    def __init__(self) -> None:
        super().__init__()
        w = self.world
        self.outer = transaction.savepoint()
        self.phones = [
            Phone(w.captain, w.match),
            Phone(w.captain, w.match),
            Phone(w.weigher, w.match),
            Phone(w.member, w.match, app="b1"),
        ]
        self.stranger = Phone(w.outsider, w.match)
        self.base = transaction.savepoint()
        self.model = Model()
        self.air: list[tuple[Phone, list[dict[str, Any]]]] = []
        self.copied: tuple[str, dict[str, int]] | None = None

    # ---- people --------------------------------------------------------------------------------

    @rule(at=PHONES, peg=PEGS, weight=WEIGHTS)
    def weigh(self, at: int, peg: str, weight: int) -> None:
        self._keep(self.phones[at], peg, weight)

    @rule(at=st.integers(0, 2), ms=st.sampled_from([4000, 6210]))
    def time_a_feed(self, at: int, ms: int) -> None:
        body = {"bait": "caster", "jar_cm": 30, "ms": ms}
        self._note(self.phones[at], self.phones[at].keep("feed_test", "1", body))

    @rule(at=PHONES, peg=PEGS, weight=WEIGHTS, pick=PICK)
    def correct(self, at: int, peg: str, weight: int, pick: int) -> None:
        phone = self.phones[at]
        if seen := self._seen(phone):
            self._keep(phone, peg, weight, supersedes=seen[pick % len(seen)]["id"])

    @rule(at=PHONES, pick=PICK)
    def scratch(self, at: int, pick: int) -> None:
        phone = self.phones[at]
        if seen := self._seen(phone):
            of = seen[pick % len(seen)]
            more = {"supersedes": of["id"]}
            self._note(phone, phone.keep("scratch", of["peg"], {"why": "slip"}, **more))

    def _keep(self, phone: Phone, peg: str, weight: int, **given: Any) -> None:
        """Today's build writes every key, the one before left out what was empty."""
        more = {} if phone.app == "b1" else {"clock_offset_ms": -850, "supersedes": None}
        self._note(phone, phone.weigh(peg, weight, **(more | given)))

    def _note(self, phone: Phone, fact: dict[str, Any]) -> None:
        self.model.written[fact["id"]] = (phone.person.pk, copy.deepcopy(fact))

    def _seen(self, phone: Phone) -> list[dict[str, Any]]:
        """The weigh-ins this phone knows, but for one whose id is another's."""
        known = (phone.pulled | phone.sent | phone.outbox).values()
        return [f for f in known if f["kind"] == "weigh_in" and self._is_own_id(f)]

    def _is_own_id(self, fact: dict[str, Any]) -> bool:
        first = self.model.written[fact["id"]][1]
        return all(fact[key] == first[key] for key in ("device", "seq"))

    @rule(at=PHONES, pick=PICK, weight=WEIGHTS)
    def take_an_id_that_is_taken(self, at: int, pick: int, weight: int) -> None:
        phone = self.phones[at]
        if taken := list(self.model.here):
            phone.weigh("1", weight + 1, id=taken[pick % len(taken)])

    @rule(at=PHONES, clock=CLOCKS)
    def set_the_clock(self, at: int, clock: str) -> None:
        self.phones[at].clock = clock

    @rule(at=PHONES)
    def swap_phones(self, at: int) -> None:
        """What is unsent goes over as a file; the old phone still has it, and sends it too."""
        for other in self.phones:
            if other is not self.phones[at] and other.person == self.phones[at].person:
                other.outbox |= copy.deepcopy(self.phones[at].outbox)

    @rule(at=PHONES, ends=st.booleans())
    def leave_the_club_or_come_back(self, at: int, ends: bool) -> None:
        roles = Membership.objects.filter(person=self.phones[at].person)
        roles.update(ended_at=timezone.now() if ends else None)

    # ---- the network ---------------------------------------------------------------------------

    @rule(at=PHONES, backwards=st.booleans())
    def send(self, at: int, backwards: bool) -> None:
        facts = self._batch(self.phones[at], backwards)
        self.phones[at].take_in(self._arrive(self.phones[at], facts))
        self._renamed_note(self.phones[at])

    @rule(at=PHONES, read=st.integers(0, 3))
    def send_and_lose_the_end_of_the_reply(self, at: int, read: int) -> None:
        outcomes = self._arrive(self.phones[at], self._batch(self.phones[at]))
        self.phones[at].take_in(outcomes[:read])
        self._renamed_note(self.phones[at])

    @rule(at=PHONES)
    def send_what_arrives_late(self, at: int) -> None:
        self.air.append((self.phones[at], copy.deepcopy(self._batch(self.phones[at]))))

    @precondition(lambda self: self.air)
    @rule(pick=PICK, again=st.booleans())
    def something_late_arrives(self, pick: int, again: bool) -> None:
        phone, facts = self.air[pick % len(self.air)]
        self._arrive(phone, facts)
        if not again:
            self.air.remove((phone, facts))

    @rule(at=PHONES, limit=st.integers(1, 4))
    def fetch(self, at: int, limit: int) -> None:
        self.phones[at].pull(limit=limit)

    @rule(at=PHONES)
    def a_stranger_tries(self, at: int) -> None:
        self.stranger.pull()
        assert not self.stranger.pulled
        facts = copy.deepcopy(self._batch(self.phones[at]))
        assert all(one["outcome"] == "refused" for one in self.stranger.push(facts))

    def _batch(self, phone: Phone, backwards: bool = False) -> list[dict[str, Any]]:
        facts = list(phone.outbox.values())
        return facts[::-1] if backwards else facts

    def _arrive(self, phone: Phone, facts: list[dict[str, Any]]) -> list[dict[str, Any]]:
        outcomes = phone.push(facts) if facts else []
        for fact, outcome in zip(facts, outcomes, strict=True):
            self.model.answer(fact, outcome)
        return outcomes

    def _renamed_note(self, phone: Phone) -> None:
        """What clashed has a new id now, and is kept under that."""
        for fact in phone.outbox.values():
            if fact["id"] not in self.model.written:
                self._note(phone, fact)

    # ---- the server ----------------------------------------------------------------------------

    @rule()
    def copy_the_database(self) -> None:
        self.copied = (transaction.savepoint(), dict(self.model.here))

    def _is_waiting_to_clash(self) -> bool:
        """Whether a fact with another's id is under way. Where that other is gone from the server
        it would be the first, and what corrects either follows no rule that is worth a model."""
        under_way = [fact for _phone, facts in self.air for fact in facts]
        under_way += [fact for phone in self.phones for fact in phone.outbox.values()]
        return any(fact != self.model.written[fact["id"]][1] for fact in under_way)

    @precondition(lambda self: self.copied and not self._is_waiting_to_clash())
    @rule()
    def put_the_copy_back(self) -> None:
        assert self.copied
        name, here = self.copied
        transaction.savepoint_rollback(name)
        self.model.put_back(here)
        epoch_renew(club=self.world.club.__class__.objects.get(pk=self.world.club.pk))

    # ---- always --------------------------------------------------------------------------------

    @invariant()
    def each_fact_is_here_once_under_its_author_and_its_number(self) -> None:
        rows = Fact.objects.order_by("cseq").values_list("pk", "author_id", "cseq")
        assert {str(pk): cseq for pk, _, cseq in rows} == self.model.here
        assert [cseq for _, _, cseq in rows] == [*range(1, len(rows) + 1)]
        for pk, author, _ in rows:
            assert author == self.model.written[str(pk)][0]

    @invariant()
    def what_a_phone_let_go_is_here(self) -> None:
        for phone in self.phones:
            assert phone.sent.keys() <= self.model.here.keys() | self.model.gone

    # ---- in the end ----------------------------------------------------------------------------

    def teardown(self) -> None:
        try:
            self._quiet()
            self._everybody_has_everything()
            self._standing_is_of_the_facts_alone()
        finally:
            transaction.savepoint_rollback(self.outer)

    def _quiet(self) -> None:
        """All come back, what was late arrives, and every phone has signal for a while."""
        Membership.objects.filter(club=self.world.club).update(ended_at=None)
        for phone, facts in self.air:
            self._arrive(phone, facts)
        for phone in self.phones * 2:
            for _round in range(len(self.model.written) + 5):
                self.send(self.phones.index(phone), False)
                if not phone.pull() and not phone.outbox:
                    break
            assert not phone.outbox

    def _everybody_has_everything(self) -> None:
        m = self.model
        assert m.written.keys() == m.here.keys() | m.turned_away
        for phone in self.phones:
            assert phone.pulled.keys() == {name for name in m.here if self._is_shared(phone, name)}
            for name, fact in phone.pulled.items():
                author, written = m.written[name]
                assert fact["author"]["id"] == str(author)
                assert {k: fact[k] for k in ("device", "seq", "kind", "peg")} == {
                    k: written[k] for k in ("device", "seq", "kind", "peg")
                }
                assert written["body"].items() <= fact["body"].items()
                assert fact["supersedes"] == written.get("supersedes")

    def _is_shared(self, phone: Phone, name: str) -> bool:
        """All but what another team found out: Tamsin is in none, Maud and Wilmot are in one."""
        author, fact = self.model.written[name]
        alone = self.world.weigher.pk
        return fact["kind"] != "feed_test" or (author == alone) == (phone.person.pk == alone)

    def _standing_is_of_the_facts_alone(self) -> None:
        """Worked out anew it is the same; and so it is of the same facts in another order, from
        phones with other clocks."""
        stands = essence()
        rows = set(WeighIn.objects.values_list("fact", "stands"))
        weigh_ins_project(match=self.world.match)
        assert (stands, rows) == (essence(), set(WeighIn.objects.values_list("fact", "stands")))
        late = Disagreement.objects.filter(kind="late").exists()
        facts = [self.model.written[name] for name in self.model.here]
        transaction.savepoint_rollback(self.base)
        for author, fact in sorted(facts, key=lambda pair: str(pair[1]["id"])):
            phone = next(p for p in self.phones if p.person.pk == author)
            phone.push([fact | {"recorded_at": "2031-01-01T00:00:00Z"}])
        if not late:  # what came after its author left depends on when that was
            assert stands == essence()


def essence() -> Any:
    """All that must not depend on the order of arrival: leaves, what waits for a ruling, and the
    weight that is placed wherever nothing does. (Of two weights the first to arrive is placed.)"""
    opened = Disagreement.objects.filter(ruling__isnull=True).prefetch_related("facts")
    disputes = {(d.kind, d.peg, d.net, frozenset(f.pk for f in d.facts.all())) for d in opened}
    leaves: dict[Any, list[Any]] = defaultdict(list)
    for row in WeighIn.objects.select_related("section_peg__peg"):
        leaves[(row.section_peg.peg.number, row.net)].append((row.fact_id, row.weight, row.stands))
    disputed = {fact for *_, facts in disputes for fact in facts}
    placed = {
        net: {weight for _, weight, stands in rows if stands}
        for net, rows in leaves.items()
        if not any(fact in disputed for fact, *_ in rows)
    }
    facts = {fact for rows in leaves.values() for fact, *_ in rows}
    return facts, {d for d in disputes if d[0] != "two_weights"}, placed


@pytest.mark.fault("many faults in any order")
@pytest.mark.django_db
def test_whatever_is_lost_late_doubled_or_put_back_every_phone_ends_with_every_fact(
    world: Any,
) -> None:
    # A peg whose number some phone gives, and nobody drew, is 3.
    run_state_machine_as_test(
        type("BankOfThisWorld", (Bank,), {"world": world}),
        settings=settings(
            max_examples=EXAMPLES,
            stateful_step_count=20,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
