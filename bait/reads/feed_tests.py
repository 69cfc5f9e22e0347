"""Jar tests of a person and their team, from every match of the club."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import Any

from bait.reckon.feed_tests import JAR_CM, Drop, FeedTest
from matches.models import Club, FactKind, Match, Person
from matches.reads.facts import author_initials, author_name
from matches.reads.mates import facts_shared

DROPS_READ = 500


@dataclass(frozen=True, slots=True)
class FeedTests:
    """`tests` newest first; `aside`: (bait, match, author) the reader leaves aside; `names` by
    author, juniors by their initials.
    """

    tests: tuple[FeedTest, ...]
    aside: frozenset[tuple[str, int, int]]
    names: dict[int, str]


def feed_tests_of(person: Person, *, club: Club, but: Match | None = None) -> FeedTests:
    """One's own tests and the team's, the newest drops first come; not those of the match `but`.

    A drop taken back is left out, and so is one whose body was erased. Three queries at most.
    """
    facts = facts_shared(person, club=club).filter(kind=FactKind.FEED_TEST)
    if but is not None:
        facts = facts.exclude(match=but)
    newest = facts.select_related("author", "match").order_by("-match__date", "-cseq")
    read = list(newest[:DROPS_READ])
    initials = author_initials(person.pk, facts=read) if read else {}
    drops: dict[tuple[str, int, int, str], list[Drop]] = defaultdict(list)
    aside: dict[tuple[str, int, int], tuple[int, bool]] = {}
    for fact in reversed(read):
        body = fact.body
        if whose := body.get("aside") or body.get("again"):
            if fact.author_id == person.pk:
                key = (body["bait"], int(whose["match"]), int(whose["author"]))
                aside[key] = max(aside.get(key, (0, False)), (fact.cseq, "aside" in body))
        elif "bait" in body:
            test = (body["bait"], fact.match_id, fact.author_id, fact.match.date.isoformat())
            drops[test].append(Drop(body.get("jar_cm", JAR_CM[0]), body.get("ms")))
    return FeedTests(
        tests=tuple(
            FeedTest(bait, match, author, date, tuple(dropped))
            for (bait, match, author, date), dropped in reversed(drops.items())
        ),
        aside=frozenset(key for key, (_cseq, left) in aside.items() if left),
        names={f.author_id: initials.get(f.author_id) or author_name(f) for f in read},
    )


def feed_tests_json(found: FeedTests) -> list[dict[str, Any]]:
    """As a phone takes them along; a drop is [cm of water, ms], ms null where it floats."""
    return [
        {
            "bait": test.bait,
            "match": str(test.match),
            "date": test.date,
            "author": {"id": str(test.author), "name": found.names[test.author]},
            "drops": [[drop.jar_cm, drop.ms] for drop in test.drops],
            "aside": (test.bait, test.match, test.author) in found.aside,
        }
        for test in found.tests
    ]
