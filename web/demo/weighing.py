"""What was logged at the invented matches, by the road every phone takes."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import UUID, uuid5

from matches.models import Disagreement, DrawnPeg, Fact, Match, Person
from matches.times import time_write
from matches.writes.facts import device_seen, fact_log_at_desk, facts_store
from web.sync.kinds import body_checks

_PHONES = UUID("0b6c2f5e-6a0e-4c53-9d55-0d3c1f9a7e44")

# Grams at pegs 1 to 36, in the order of the bank; 0 is a blank. Two weigh the same.
WEIGHTS = (
    *(4250, 3120, 1980, 5310, 2740, 860, 3470, 2210, 6120, 1540, 4890, 2660),
    *(1320, 5040, 3380, 0, 2920, 4250, 1760, 3890, 2480, 5660, 990, 3010),
    *(2150, 7080, 1490, 3640, 4470, 620, 2870, 5230, 1910, 3350, 2590, 4010),
)
NOTING = ("maud", "wilmot")
"""Those who note fish on their phones, and so have some to weigh."""
SECOND_NET_FROM = 5000
"""An angler with more than this weighed in two nets."""


class Phone:
    """One person's phone in one match: its facts are numbered 1, 2, 3."""

    def __init__(self, person: Person, *, match: Match) -> None:
        self.person = person
        self.match = match
        self.device = uuid5(_PHONES, f"{person.pk} {match.pk}")
        self.seq = 0
        self.facts: list[dict[str, Any]] = []
        device_seen(person, device=self.device, app_build="demo")

    def log(self, kind: str, *, peg: str, body: dict[str, Any], at: dt.datetime) -> None:
        """Keep a fact on the phone, as without signal."""
        self.seq += 1
        self.facts.append(
            {
                "id": str(uuid5(self.device, str(self.seq))),
                "device": str(self.device),
                "seq": self.seq,
                "kind": kind,
                "match": str(self.match.pk),
                "peg": peg,
                "recorded_at": time_write(at),
                "clock_offset_ms": 0,
                "supersedes": None,
                "body": body,
            }
        )

    def send(self) -> None:
        """Hand in all that is kept. Raises the first refusal."""
        for outcome in facts_store(self.person, facts=self.facts, body_checks=body_checks()):
            if outcome.problem is not None:
                raise outcome.problem
        self.facts = []


def weigh(phone: Phone, *, pegs: int) -> None:
    """Weigh in the first `pegs` pegs that were drawn, one or two nets each."""
    at = phone.match.end_at
    for number, weight in [*peg_weights(phone.match).items()][:pegs]:
        first = 3000 if weight > SECOND_NET_FROM else weight
        for net, part in enumerate((first, weight - first)[: 2 if first < weight else 1], 1):
            at += dt.timedelta(minutes=1)
            phone.log("weigh_in", peg=number, body=_net(net, part), at=at)
    phone.send()


def peg_weights(match: Match) -> dict[str, int]:
    """Grams by peg, in the order of the bank. Where somebody who notes fish drew the blank, the
    nearest peg before it has the blank instead."""
    drawn = DrawnPeg.objects.filter(match=match).order_by("section_peg__peg__position")
    pegs = list(drawn.values_list("section_peg__peg__number", "entry__angler__person__username"))
    found = {number: weight for (number, _who), weight in zip(pegs, WEIGHTS, strict=False)}
    if 0 in found.values():
        blank = WEIGHTS.index(0)
        other = next(at for at in range(blank, -1, -1) if pegs[at][1] not in NOTING)
        found[pegs[blank][0]], found[pegs[other][0]] = WEIGHTS[other], 0
    return found


def weigh_again(phone: Phone, *, peg: str, weight: int) -> Disagreement:
    """A second phone says another weight for the first net of `peg`: the two disagree."""
    at = phone.match.end_at + dt.timedelta(hours=1)
    phone.log("weigh_in", peg=peg, body=_net(1, weight), at=at)
    phone.send()
    return Disagreement.objects.get(match=phone.match, peg=peg, ruling__isnull=True)


def weigh_alike(phone: Phone, *, peg: str) -> None:
    """A second phone says the same weight for the first net of `peg`: two have seen it."""
    first = Fact.objects.filter(match=phone.match, kind="weigh_in", peg=peg, body__net=1)
    at = phone.match.end_at + dt.timedelta(minutes=50)
    phone.log("weigh_in", peg=peg, body=_net(1, first.earliest("cseq").body["weight"]), at=at)
    phone.send()


def first_rule(secretary: Person, *, disagreement: Disagreement) -> None:
    """The secretary settles it: the weight that came first stands."""
    first = Fact.objects.filter(disagreements=disagreement).earliest("cseq")
    fact_log_at_desk(
        secretary,
        match=disagreement.match,
        kind="ruling",
        peg=disagreement.peg,
        body={"disagreement": disagreement.pk, "stands": str(first.pk)},
    )


def _net(net: int, weight: int) -> dict[str, Any]:
    return {"net": net, "weight": weight, "unit": "g", "witness": None}
