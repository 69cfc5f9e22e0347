"""All that is held about one person, as one archive; nobody else is named in it."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from django.db.models import Q, QuerySet

from bait.models import PaidBack, Plan, Share, ShopPayment, StageFeed, ThrowSize
from matches import models as m
from matches.reads.club_table import values
from matches.reads.newest_bulletins import newest_bulletins
from matches.reads.own_facts import facts_logged, logged_json

from .archive import csv_parts


@dataclass(frozen=True, slots=True)
class OwnTable:
    """`rows` yields cells in the order of `columns`, never all of them at once."""

    file: str
    columns: Sequence[str]
    rows: Callable[[m.Person], Iterable[Sequence[Any]]]


def own_files(person: m.Person, *, made_at: datetime) -> Iterator[tuple[str, Iterator[bytes]]]:
    """Every file of the archive, each (name, its bytes part by part)."""
    yield "README.txt", iter([_readme(person, made_at=made_at).encode()])
    for table in TABLES:
        yield table.file, csv_parts(table.columns, table.rows(person))
    yield "notes.json", _notes(person)


def _readme(person: m.Person, *, made_at: datetime) -> str:
    return (
        f"All that is held about {person.username}, as it stood at "
        f"{made_at.isoformat(timespec='minutes')}.\n\n"
        "CSV files are UTF-8 with a mark, commas between cells, as in RFC 4180. Money is in\n"
        "pence, moments are UTC (ISO 8601). notes.json has every fact you logged.\n"
        "Nobody else is named: who you paid, who changed something about you and who witnessed\n"
        "a weight is left out.\n\n" + "\n".join(table.file for table in TABLES) + "\nnotes.json\n"
    )


def _account(person: m.Person) -> Iterable[Sequence[Any]]:
    yield (
        *(person.username, person.first_name, person.last_name, person.email),
        *(person.date_joined, person.last_login, person.language, person.measures, person.light),
    )


def _own_entries(person: m.Person) -> QuerySet[m.Entry]:
    return m.Entry.objects.filter(angler__person=person).order_by("match__date", "pk")


def _results(person: m.Person) -> Iterator[Sequence[Any]]:
    """As the newest bulletin of each match has them."""
    own = {entry.pk: entry for entry in _own_entries(person).select_related("match")}
    matches = {entry.match_id for entry in own.values()}
    for bulletin in newest_bulletins().filter(match__in=matches).order_by("match__date", "pk"):
        for section in bulletin.body["sections"]:
            for row in section["entries"]:
                if entry := own.get(row.get("entry")):
                    place = (section["label"], row["peg"], row["place"], row["points"])
                    unit = bulletin.body["weight_unit"]
                    yield entry.match.name, entry.match.date, *place, row["weight"], unit


def _trail(person: m.Person) -> Iterator[Sequence[Any]]:
    """What the person changed, and what was changed about them; never what it says of others."""
    names = m.Angler.objects.filter(person=person).values("name")
    rows = m.AuditEntry.objects.filter(Q(person=person) | Q(subject__in=names)).order_by("pk")
    for at, club, verb, number, who in values(rows, "at", "club__name", "verb", "number", "person"):
        yield at, club, number, verb, "by you" if who == person.pk else "about you"


def _plans(person: m.Person) -> Iterator[Sequence[Any]]:
    rows = Plan.objects.filter(entry__angler__person=person).order_by("entry__match__date", "pk")
    return values(
        rows, "entry__match__name", "entry__match__date", "spare_percent", "note", "changed_at"
    )


def _feeds(person: m.Person) -> Iterator[Sequence[Any]]:
    rows = StageFeed.objects.filter(stage__plan__entry__angler__person=person)
    return values(
        rows.order_by("stage__plan__entry__match__date", "stage__plan", "stage__position", "pk"),
        *("stage__plan__entry__match__name", "stage__kind", "stage__line", "stage__start_minute"),
        *("stage__end_minute", "stage__note", "bait__name", "amount", "unit"),
    )


def _paid_back(person: m.Person) -> Iterator[Sequence[Any]]:
    rows = PaidBack.objects.filter(Q(payer__person=person) | Q(payee__person=person))
    for match, at, pence, payer in values(
        rows.order_by("noted_at", "pk"), "order__match__name", "noted_at", "pence", "payer__person"
    ):
        yield match, at, pence, "paid" if payer == person.pk else "received"


def _notes(person: m.Person) -> Iterator[bytes]:
    """A list of facts, a line each; who witnessed a weight is somebody else."""
    yield b"["
    for n, logged in enumerate(facts_logged(person)):
        fact = logged_json(logged)
        if isinstance(fact["body"], dict):
            fact["body"] = {k: v for k, v in fact["body"].items() if k != "witness"}
        yield ((",\n" if n else "\n") + json.dumps(fact, ensure_ascii=False)).encode()
    yield b"\n]\n"


def _of(
    model: Any, owner: str, order: str, *paths: str
) -> Callable[[m.Person], Iterable[Sequence[Any]]]:
    """The rows of a model that are the person's by the path `owner`."""

    def rows(person: m.Person) -> Iterable[Sequence[Any]]:
        return values(model.objects.filter(**{owner: person}).order_by(order, "pk"), *paths)

    return rows


ENTRANT: Final = "entry__angler__person"
MATCH: Final = ("entry__match__name", "entry__match__date")
TABLES: Final = (
    OwnTable(
        "account.csv",
        (
            *("signs_in_as", "first_name", "last_name", "email", "joined_at", "last_in_at"),
            *("language", "measures", "light"),
        ),
        _account,
    ),
    OwnTable(
        "roles.csv",
        ("club", "role", "team", "match", "ended_at"),
        _of(
            *(m.Membership, "person", "pk", "club__name", "role", "team__name", "match__name"),
            "ended_at",
        ),
    ),
    OwnTable(
        "book.csv",
        ("club", "name", "number", "team", "junior", "guardian_consents"),
        _of(
            *(m.Angler, "person", "pk", "club__name", "name", "number", "team__name", "junior"),
            "guardian_consents",
        ),
    ),
    OwnTable(
        "entries.csv",
        ("match", "date", "team", "status", "needs_access", "entered_at", "peg"),
        _of(
            *(m.Entry, "angler__person", "match__date", "match__name", "match__date"),
            *("team__name", "status", "needs_access", "entered_at"),
            "drawn_peg__section_peg__peg__number",
        ),
    ),
    OwnTable(
        "results.csv",
        ("match", "date", "section", "peg", "place", "points", "weight", "unit"),
        _results,
    ),
    OwnTable(
        "past_results.csv",
        ("venue", "date", "peg", "section", "weight", "place", "points"),
        _of(
            *(m.PastResult, "angler__person", "match__date", "match__venue__name", "match__date"),
            *("peg", "section", "weight", "place", "points"),
        ),
    ),
    OwnTable("plans.csv", ("match", "date", "spare_percent", "note", "changed_at"), _plans),
    OwnTable(
        "plan_feeds.csv",
        (
            *("match", "stage", "line", "start_minute", "end_minute", "note"),
            *("bait", "amount", "unit"),
        ),
        _feeds,
    ),
    OwnTable(
        "throws.csv",
        ("throw", "bait", "ml"),
        _of(ThrowSize, "angler__person", "pk", "throw", "bait__name", "ml"),
    ),
    OwnTable(
        "paid_for_matches.csv",
        ("match", "date", "pool", "pence", "note", "taken_at"),
        _of(m.FeePayment, ENTRANT, "taken_at", *MATCH, "pool__name", "pence", "note", "taken_at"),
    ),
    OwnTable(
        "prizes.csv",
        ("match", "date", "pence", "note", "paid_at"),
        _of(m.PrizePaid, ENTRANT, "paid_at", *MATCH, "pence", "note", "paid_at"),
    ),
    OwnTable(
        "bait_shares.csv",
        ("match", "version", "due_pence"),
        _of(
            *(Share, "angler__person", "pk", "version__order__match__name", "version__number"),
            "due_pence",
        ),
    ),
    OwnTable(
        "paid_to_shops.csv",
        ("match", "shop", "pence", "noted_at"),
        _of(
            *(ShopPayment, "angler__person", "noted_at", "order__match__name", "shop__name"),
            *("pence", "noted_at"),
        ),
    ),
    OwnTable("paid_back.csv", ("match", "noted_at", "pence", "which_way"), _paid_back),
    OwnTable(
        "phones.csv",
        ("phone", "called", "app", "first_seen_at", "last_seen_at"),
        _of(
            m.Device,
            "person",
            "created_at",
            "pk",
            "label",
            "app_build",
            "created_at",
            "last_seen_at",
        ),
    ),
    OwnTable(
        "signed_in.csv",
        ("with", "since", "ends_at"),
        _of(m.SignedIn, "person", "expire_date", "agent", "since", "expire_date"),
    ),
    OwnTable(
        "second_factor.csv",
        ("on_since",),
        _of(m.SecondFactor, "person", "pk", "on_since"),
    ),
    OwnTable("notices.csv", ("at", "what"), _of(m.Notice, "person", "pk", "at", "kind")),
    OwnTable(
        "tokens.csv",
        ("name", "scopes", "made_at", "expires_at", "last_used_on", "revoked_at"),
        _of(
            *(m.ApiToken, "person", "made_at", "name", "scopes", "made_at", "expires_at"),
            *("last_used_on", "revoked_at"),
        ),
    ),
    OwnTable("trail.csv", ("at", "club", "row", "what", "whose"), _trail),
)
