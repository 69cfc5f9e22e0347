"""What a token needs, for every address of the API: one table, asked in one place."""

from __future__ import annotations

from typing import Final, NamedTuple

from matches.models import Scope

SAFE: Final = frozenset({"GET", "HEAD", "OPTIONS"})
ANYONE: Final = ""
#: Not for any token, whatever its scopes: only for a person at a page or a phone.
NEVER: Final = "never"


class Needs(NamedTuple):
    """The scopes, with a space between, for reading and for writing."""

    reads: str
    writes: str


M, R, W, B, C, F, G = (
    Scope.MATCHES_READ.value,
    Scope.RESULTS_READ.value,
    Scope.RESULTS_WRITE.value,
    Scope.BAIT_READ.value,
    Scope.BAIT_WRITE.value,
    Scope.FACTS_READ.value,
    Scope.FACTS_WRITE.value,
)

#: By the address's name. An address that is not here is refused to every token.
NEEDS: Final = {
    "schema": Needs(ANYONE, NEVER),
    "me": Needs(M, NEVER),
    "matches": Needs(M, NEVER),
    "teams": Needs(M, NEVER),
    "match": Needs(M, NEVER),
    "entries": Needs(M, NEVER),
    "pools": Needs(M, NEVER),
    "match-pegs": Needs(M, NEVER),
    "weigh-board": Needs(R, NEVER),
    "disagreements": Needs(R, NEVER),
    "bulletins": Needs(R, W),
    "leagues": Needs(R, NEVER),
    "league-table": Needs(R, NEVER),
    "baits": Needs(B, NEVER),
    "shops": Needs(B, NEVER),
    "plan": Needs(B, C),
    "plan-suggestion": Needs(B, NEVER),
    "plans": Needs(B, C),
    "order": Needs(B, NEVER),
    "order-work": Needs(NEVER, C),
    "order-why": Needs(B, C),
    "order-spare": Needs(B, C),
    "work": Needs(B, NEVER),
    "bait-truth": Needs(B, NEVER),
    "bait-cost": Needs(B, NEVER),
    "season": Needs(B, C),
    "sync-facts": Needs(F, G),
    # A phone's package holds the person's plan and bag too.
    "sync-match": Needs(f"{M} {B}", NEVER),
    # Files change many things at once: a person looks at them first.
    "imports": Needs(NEVER, NEVER),
    # What phones sign with is not a program's to read or to change.
    "sync-keys": Needs(NEVER, NEVER),
    "sync-key": Needs(NEVER, NEVER),
    # The calculators ask nobody who they are.
    "reckon-draw": Needs(ANYONE, ANYONE),
    "reckon-league": Needs(ANYONE, ANYONE),
    "reckon-lines": Needs(ANYONE, ANYONE),
    "reckon-mix": Needs(ANYONE, ANYONE),
    "reckon-order": Needs(ANYONE, ANYONE),
    "reckon-payouts": Needs(ANYONE, ANYONE),
    "reckon-placement": Needs(ANYONE, ANYONE),
    "reckon-placings": Needs(ANYONE, ANYONE),
}


def scopes_needed(name: str | None, *, method: str) -> str:
    """The scopes that an address needs, with a space between; NEVER where no token may."""
    needs = NEEDS.get(name or "")
    if needs is None:
        return NEVER
    return needs.reads if method in SAFE else needs.writes
