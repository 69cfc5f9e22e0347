"""The invented match's fees and pools: set up, chosen, paid, won and handed over."""

from __future__ import annotations

import uuid
from typing import Final

from matches.models import Entry, Match, Person, Pool
from matches.reads.prizes import settlement
from matches.reads.results import match_result
from matches.reckon.pool_presets import PRESETS_BY_KEY
from matches.writes.facts import fact_log_at_desk
from matches.writes.fees import fee_take
from matches.writes.match_content import terms_parse, terms_typed
from matches.writes.matches import match_change
from matches.writes.pool_terms import pool_terms_parse, preset_typed
from matches.writes.pools import pool_add, pool_entries_set
from matches.writes.prizes import prize_hand_over
from matches.writes.stakes import stakes_take

FEE: Final = "2.00"
POOLS: Final = ("frame-sections", "super", "biggest-fish")
CHOOSE_EACH: Final = 3
"""Every third angler chooses the pools one can choose."""
REASON: Final = "As agreed at the draw."
FISH: Final = ((1210, "Chub"), (1640, "Bream"), (1180, "Chub"))


def pools_set(secretary: Person, *, match: Match) -> None:
    """A fee, a pool of everybody and two that some choose; all have paid."""
    typed = {**terms_typed(match), "fee": FEE}
    terms = terms_parse(typed, venues=match.club.venues.all())
    match_change(secretary, match=match, terms=terms)
    entries = list(Entry.objects.filter(match=match).order_by("pk").values_list("pk", flat=True))
    for pk in entries:
        fee_take(secretary, match=match, entry_id=pk, pence=terms.fee_pence, key=uuid.uuid4())
    for key in POOLS:
        pool = _pool(secretary, match, key, entries=len(entries))
        chosen = entries
        if pool.opt_in:
            chosen = entries[::CHOOSE_EACH]
            pool_entries_set(
                secretary, match=match, pool_id=pool.pk, entry_ids=chosen, reason=REASON
            )
        stakes_take(secretary, match=match, pool_id=pool.pk, entry_ids=chosen)


def fish_weigh(secretary: Person, *, match: Match) -> None:
    """The single fish that the scales were asked for: of the heaviest three in that pool."""
    of_fish = Entry.objects.filter(pools__pool__match=match, pools__pool__won_by="biggest_fish")
    chosen = set(of_fish.values_list("pk", flat=True))
    rows = [row.entry for row in match_result(match).by_weight if row.entry.entry in chosen]
    for row, (weight, species) in zip(rows, FISH, strict=False):
        fact_log_at_desk(
            secretary,
            match=match,
            kind="fish_note",
            peg=row.peg,
            body={"species": species, "count": 1, "weight": weight},
        )


def prizes_pay(secretary: Person, *, match: Match) -> None:
    """Every prize of the confirmed result is handed over."""
    for prize in settlement(match).prizes:
        prize_hand_over(
            secretary, match=match, entry_id=prize.entry.pk, pence=prize.due, key=prize.key
        )


def _pool(secretary: Person, match: Match, key: str, *, entries: int) -> Pool:
    preset = PRESETS_BY_KEY[key]
    sections = match.sections.count()
    typed = preset_typed(preset, name=preset.name, entries=entries, sections=sections)
    return pool_add(secretary, match=match, terms=pool_terms_parse(typed), reason=REASON)
