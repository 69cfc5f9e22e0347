"""A club's people, waters, matches and money as tables. Nobody's own notes are among them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Final

from django.db.models import Case, F, QuerySet, Value, When

from matches.models import (
    Angler,
    Club,
    Draw,
    Entry,
    FeePayment,
    LeagueTable,
    Match,
    PastResult,
    Peg,
    Pool,
    PoolEntry,
    PrizePaid,
    SectionPeg,
    Team,
    Venue,
    WeighIn,
)
from matches.reckon.weights import weight_text

from .club_table import CHUNK, ClubTable, values
from .newest_bulletins import newest_bulletins
from .trail import chain_rows

MATCH: Final = ("match", "the match’s id in matches.csv")
ENTRY: Final = ("entry", "the entry’s id in entries.csv")


def _of_match(rows: QuerySet[Any], path: str = "match") -> QuerySet[Any]:
    return rows.order_by(f"{path}__date", f"{path}_id", "pk")


def _anglers(club: Club) -> Iterator[Sequence[Any]]:
    rows = Angler.objects.filter(club=club).order_by("name", "pk")
    return values(rows, "pk", "name", "number", "team__name", "junior", "guardian_consents")


def _pegs(club: Club) -> Iterator[Sequence[Any]]:
    rows = Peg.objects.filter(venue__club=club).order_by("venue__name", "venue", "position")
    names = [name for name, _meaning in PEGS if name != "venue"]
    return values(rows, "venue__name", *names)


def _matches(club: Club) -> Iterator[Sequence[Any]]:
    rows = Match.objects.filter(club=club).order_by("date", "pk")
    return values(rows, "pk", *(n if n != "venue" else "venue__name" for n, _m in MATCHES[1:]))


def _entries(club: Club) -> Iterator[Sequence[Any]]:
    rows = _of_match(Entry.objects.filter(match__club=club))
    drawn = "drawn_peg__section_peg__"
    return values(
        rows, "pk", "match_id", "angler_id", "angler__name", "team__name", "status",
        "needs_access", "entered_at", f"{drawn}section__label", f"{drawn}peg__number",
    )  # fmt: skip


def _draws(club: Club) -> Iterator[Sequence[Any]]:
    rows = _of_match(Draw.objects.filter(match__club=club)).annotate(
        # Until it is held a draw's seed is a secret, the secretary's copy of all included.
        known=Case(When(drawn_at__isnull=False, then=F("seed")), default=Value(""))
    )
    return values(rows, "match_id", "number", "mode", "commitment", "known", "committed_at",
                  "drawn_at", "reason")  # fmt: skip


def _weigh_ins(club: Club) -> Iterator[Sequence[Any]]:
    rows = _of_match(WeighIn.objects.filter(match__club=club))
    return values(
        rows, "match_id", "section_peg__section__label", "section_peg__peg__number", "net",
        "weight", "match__weight_unit", "stands", "fact__received_at",
    )  # fmt: skip


def _results(club: Club) -> Iterator[Sequence[Any]]:
    rows = newest_bulletins().filter(match__club=club).order_by("match__date", "match_id")
    for match, number, confirmed, body in rows.values_list(
        "match_id", "number", "confirmed", "body"
    ).iterator(chunk_size=20):
        for section in body["sections"]:
            for e in section["entries"]:
                yield (
                    match, number, confirmed, section["label"], e["peg"], e["place"], e["points"],
                    e["angler"], e["team"], e["weight"], body["weight_unit"], e["status"],
                )  # fmt: skip


def _league_tables(club: Club) -> Iterator[Sequence[Any]]:
    rows = LeagueTable.objects.filter(league__club=club).order_by("league__slug", "number")
    for slug, number, made_at, body in rows.values_list(
        "league__slug", "number", "made_at", "body"
    ).iterator(chunk_size=20):
        for row in body["table"]:
            yield (
                slug, number, made_at, row["rank"], row["name"], row["total"], row["fished"],
                row["counted"],
            )  # fmt: skip


def _past_results(club: Club) -> Iterator[Sequence[Any]]:
    rows = _of_match(PastResult.objects.filter(match__club=club)).select_related(
        "match__venue", "angler"
    )
    for one in rows.iterator(chunk_size=CHUNK):
        unit, weight = one.match.weight_unit, one.weight
        yield (
            one.match.date, one.match.venue.name, one.match.name,
            one.angler.name if one.angler else one.name, one.peg, one.section,
            weight_text(weight, unit=unit) if unit and weight is not None else None,
            one.place, one.points,
        )  # fmt: skip


PEGS: Final = (
    ("venue", "name of the venue"),
    ("number", "as it stands at the water"),
    ("position", "downstream along the bank, from 1"),
    ("side", "left or right, as one looks downstream"),
    ("along_m", "metres along the bank from the venue’s first peg"),
    ("depth_cm", "centimetres"),
    ("latitude", "degrees, WGS 84"),
    ("longitude", "degrees, WGS 84"),
    ("accessible", "reached with a wheelchair: yes or no"),
    ("power_lines", "yes or no"),
    ("steep_bank", "yes or no"),
    ("notes", "what is said of it"),
    ("retired", "fished no more: yes or no"),
)
MATCHES: Final = (
    ("id", "the match’s key here"),
    ("date", "the local day at the venue"),
    ("name", ""),
    ("slug", "its name in addresses"),
    ("venue", "name of the venue"),
    ("state", "planned, drawn, weighing, provisional or confirmed"),
    ("called_off", "why it is not fished; empty while it is"),
    ("start_at", "UTC"),
    ("end_at", "UTC"),
    ("weight_unit", "g for grams, dr for drams (256 to the pound)"),
    ("scored_by", "weight or fish"),
    ("fee_pence", "the entry fee, in pence of the club’s currency"),
    ("groundbait_limit_l", "litres"),
    ("bait_limit_l", "litres"),
    ("river_level", "low, normal or high against what is usual"),
    ("board_cm", "what the gauge board read, centimetres"),
)
TABLES: Final[tuple[ClubTable, ...]] = (
    ClubTable(
        "teams.csv", "The club’s teams, and those that visit.",
        (("name", ""), ("visitors", "a team of elsewhere: yes or no")),
        lambda club: values(Team.objects.filter(club=club).order_by("name"), "name", "visitors"),
    ),
    ClubTable(
        "anglers.csv", "The club’s book of anglers, by their names in full.",
        (
            ("id", "the angler’s key here"), ("name", ""), ("number", "of membership"),
            ("team", "name of the team"), ("junior", "yes or no"),
            ("guardian_consents", "a guardian agreed to the name being shown: yes or no"),
        ),
        _anglers,
    ),
    ClubTable(
        "venues.csv", "Waters.",
        (("name", ""), ("water", ""), ("timezone", "IANA name"), ("cautions", "")),
        lambda club: values(
            Venue.objects.filter(club=club).order_by("name"), "name", "water", "timezone",
            "cautions",
        ),
    ),
    ClubTable("pegs.csv", "Pegs of all venues, downstream.", PEGS, _pegs),
    ClubTable("matches.csv", "Matches planned and fished here.", MATCHES, _matches),
    ClubTable(
        "match_pegs.csv", "Which pegs a match fishes, by section.",
        (MATCH, ("section", ""), ("peg", "number of the peg")),
        lambda club: values(
            _of_match(SectionPeg.objects.filter(match__club=club)), "match_id", "section__label",
            "peg__number",
        ),
    ),
    ClubTable(
        "entries.csv", "Who is in which match, and on which peg.",
        (
            ("id", "the entry’s key here"), MATCH, ("angler", "the angler’s id in anglers.csv"),
            ("name", "of the angler"), ("team", "fished for; empty: alone"),
            ("status", "entered, reserve, waiting, withdrawn, retired, absent or disqualified"),
            ("needs_access", "asks for a peg reached with a wheelchair: yes or no"),
            ("entered_at", "UTC"), ("section", "drawn"), ("peg", "drawn"),
        ),
        _entries,
    ),
    ClubTable(
        "draws.csv", "Draws; the seed once a draw was held.",
        (
            MATCH, ("number", "of the draw in the match"), ("mode", "open or team"),
            ("commitment", "SHA-256, hexadecimal"), ("seed", "32 bytes, hexadecimal"),
            ("committed_at", "UTC"), ("drawn_at", "UTC"), ("reason", "why it was drawn again"),
        ),
        _draws,
    ),
    ClubTable(
        "weigh_ins.csv", "Every weight that was logged, those that do not stand too.",
        (
            MATCH, ("section", ""), ("peg", "number of the peg"), ("net", "from 1"),
            ("weight", "a whole number in unit"), ("unit", "g or dr, as in matches.csv"),
            ("stands", "counts: yes or no"), ("received_at", "UTC"),
        ),
        _weigh_ins,
    ),
    ClubTable(
        "results.csv", "Of each match the newest bulletin, by public names.",
        (
            MATCH, ("bulletin", "its number"), ("confirmed", "yes or no"), ("section", ""),
            ("peg", "number of the peg"), ("place", "in the section"),
            ("points", "in the section"), ("angler", "public name"), ("team", ""),
            ("weight", "a whole number in unit"), ("unit", "g or dr"),
            ("status", "as in entries.csv"),
        ),
        _results,
    ),
    ClubTable(
        "league_tables.csv", "Every table of every league, as it was.",
        (
            ("league", "its name in addresses"), ("number", "of the table"), ("made_at", "UTC"),
            ("rank", ""), ("name", "public name, or the team’s"), ("total", "points"),
            ("fished", "rounds fished"), ("counted", "rounds counted"),
        ),
        _league_tables,
    ),
    ClubTable(
        "pools.csv", "Pools of matches.",
        (
            ("id", "the pool’s key here"), MATCH, ("name", ""), ("stake_pence", "pence"),
            ("opt_in", "only who chose to: yes or no"), ("won_by", "weight or biggest_fish"),
            ("frame", "the prizes in place order, JSON"), ("section_pence", "pence for a section"),
            ("rest_to", "where what is not won goes"),
        ),
        lambda club: values(
            _of_match(Pool.objects.filter(match__club=club)), "pk", "match_id", "name",
            "stake_pence", "opt_in", "won_by", "frame", "section_pence", "rest_to",
        ),
    ),
    ClubTable(
        "pool_entries.csv", "Who chose to be in a pool.",
        (("pool", "the pool’s id in pools.csv"), ENTRY),
        lambda club: values(
            PoolEntry.objects.filter(pool__match__club=club).order_by("pk"), "pool_id", "entry_id"
        ),
    ),
    ClubTable(
        "fees.csv", "Money taken of an entry, or given back.",
        (
            ENTRY, ("pool", "the pool’s id in pools.csv; empty: the match’s own fee"),
            ("pence", "below zero: given back"), ("note", ""), ("taken_at", "UTC"),
        ),
        lambda club: values(
            FeePayment.objects.filter(entry__match__club=club).order_by("pk"), "entry_id",
            "pool_id", "pence", "note", "taken_at",
        ),
    ),
    ClubTable(
        "prizes.csv", "Prizes handed over.",
        (MATCH, ENTRY, ("pence", ""), ("note", ""), ("paid_at", "UTC")),
        lambda club: values(
            PrizePaid.objects.filter(match__club=club).order_by("pk"), "match_id", "entry_id",
            "pence", "note", "paid_at",
        ),
    ),
    ClubTable(
        "past_results.csv", "Results of before, from the club’s own book; none was published here.",
        (
            ("date", "the day"), ("venue", "name of the venue"), ("match", "its name"),
            ("angler", ""), ("peg", "number of the peg"), ("section", ""),
            ("weight", "with its units"), ("place", ""), ("points", ""),
        ),
        _past_results,
    ),
    ClubTable(
        "trail.csv", "Who changed what, from the first change on.",
        (
            ("number", "from 1 without a hole"), ("at", "UTC"), ("person", "user name"),
            ("verb", "what was done"), ("subject", "to what"), ("detail", "JSON"),
            ("digest", "SHA-256 over this row and the one before, hexadecimal"),
        ),
        lambda club: values(
            chain_rows(club.pk), "number", "at", "person__username", "verb", "subject", "detail",
            "digest",
        ),
    ),
)  # fmt: skip
