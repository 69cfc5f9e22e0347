"""A weight typed at the desk, read and logged as a fact."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _

from matches.models import Fact, Match, Person, ScoredBy
from matches.reads.result_rows import MatchResult, ResultEntry
from matches.reads.results import match_result
from matches.reckon.errors import BadInput, Fault
from matches.reckon.weights import weight_from_parts, weight_unusual
from matches.writes.facts import fact_log_at_desk
from matches.writes.facts.bodies import FISH_MOST

from .form_numbers import whole_typed

PARTS = {"g": ("kg", "g"), "dr": ("lb", "oz", "dr")}


class WeightUnsure(Exception):
    """A weight far above the rest, that nobody said yes to yet."""

    def __init__(self, weight: int) -> None:
        super().__init__(weight)
        self.weight = weight


def weigh_in_log(person: Person, match: Match, typed: Mapping[str, str]) -> Fact:
    """Log what was typed. Said to correct, or to be weighed again, it supersedes what stands for
    that net; otherwise a different weight there is a disagreement to settle.

    Raises BadInput, Problem, or WeightUnsure: then nothing was logged.
    """
    unit = match.unit
    weight = weight_from_parts({k: typed.get(k, "").strip() for k in PARTS[unit]}, unit=unit)
    net_text = typed.get("net", "")
    if net_text not in tuple("123456789"):
        raise BadInput(Fault("/net", _("Choose net 1 to 9.")))
    peg, net = typed.get("peg", ""), int(net_text)
    body: dict[str, Any] = {"net": net, "weight": weight, "unit": unit}
    fish = _fish_read(match, typed)
    if fish is not None:
        body["fish"] = fish
    result = match_result(match)
    entry = next((e for e in result.entries() if e.peg == peg), None)
    _sure_or_raise(result, weight, typed, peg=peg)
    body["witness"] = _witness(entry, typed)
    corrects = typed.get("corrects", "")
    if corrects == "reweigh":
        body["reweigh"] = True
    return fact_log_at_desk(
        person,
        match=match,
        kind="weigh_in",
        peg=peg,
        body=body,
        supersedes=_standing(entry, net) if corrects in ("yes", "reweigh") else None,
    )


def _sure_or_raise(result: MatchResult, weight: int, typed: Mapping[str, str], *, peg: str) -> None:
    """The yes belongs to one weight: another one is asked about anew."""
    others = [n.weight for e in result.entries() if e.peg != peg for n in e.nets]
    unit = result.match.unit
    if typed.get("sure") != str(weight) and weight_unusual(weight, unit=unit, others=others):
        raise WeightUnsure(weight)


def _witness(entry: ResultEntry | None, typed: Mapping[str, str]) -> str | None:
    """Who was written in, or else who was chosen; the peg's angler by public name."""
    written, chosen = typed.get("witness", "").strip(), typed.get("witness_of", "").strip()
    if written or chosen != "angler":
        return written or chosen or None
    return entry.angler if entry else None


def _fish_read(match: Match, typed: Mapping[str, str]) -> list[list[Any]] | None:
    """How many of each species, None where nobody counted. Raises BadInput."""
    if match.scored_by != ScoredBy.FISH:
        return None
    counts = [
        (n, row["name"], typed.get(f"fish-{n}", "").strip())
        for n, row in enumerate(match.species, 1)
    ]
    faults = [
        Fault(f"/fish-{n}", _("%(species)s: count 0 to 10,000 whole fish.") % {"species": name})
        for n, name, text in counts
        if text and not _is_count(text)
    ]
    if faults:
        raise BadInput(*faults)
    if not any(text for _n, _name, text in counts):
        return None
    return [[name, int(text or 0)] for _n, name, text in counts]


def _is_count(text: str) -> bool:
    count = whole_typed(text)
    return count is not None and count <= FISH_MOST


def _standing(entry: ResultEntry | None, net: int) -> UUID | None:
    nets = entry.nets if entry else ()
    return next((UUID(n.fact) for n in nets if n.net == net), None)
