"""A league said in plain words: its rules, its rounds, what was dropped and what changed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from matches.models import LeagueOf


def rules_words(rules: Mapping[str, Any], *, of: str) -> list[str]:
    """The rules, a sentence each."""
    return [
        _counts_words(rules, of=of),
        _counting_words(rules),
        _missed_words(rules),
        *_least_words(rules),
        *_ties_words(rules),
    ]


def _counts_words(rules: Mapping[str, Any], *, of: str) -> str:
    if rules.get("counts") == "places":
        if of == LeagueOf.TEAMS:
            return _("A team's place in each match is added up; the lowest total wins.")
        return _("An angler's place over all in each match is added up; the lowest total wins.")
    if rules.get("points", "low") == "high":
        return _("The points of each match are added up; the most points win.")
    return _("The points of each match are added up; the lowest total wins.")


def _counting_words(rules: Mapping[str, Any]) -> str:
    if rules.get("best_of"):
        n = int(rules["best_of"])
        return ngettext("The best round counts.", "The best %(n)s rounds count.", n) % {"n": n}
    n = int(rules.get("drop_worst") or 0)
    if n:
        return ngettext("The worst round is dropped.", "The worst %(n)s rounds are dropped.", n) % {
            "n": n
        }
    return _("Every round counts.")


def _missed_words(rules: Mapping[str, Any]) -> str:
    missed = rules.get("missed", "worst_plus_one")
    if isinstance(missed, dict):
        return _("A missed round is %(n)s points.") % {"n": missed["points"]}
    if missed == "not_counted":
        return _("A missed round is nothing, and is dropped first.")
    return _("A missed round is one place behind the worst of that round.")


def _least_words(rules: Mapping[str, Any]) -> list[str]:
    n = int(rules.get("minimum_rounds") or 0)
    if not n:
        return []
    return [
        ngettext(
            "Ranked is who came to a round.",
            "Ranked is who came to %(n)s rounds; to every round while there were fewer.",
            n,
        )
        % {"n": n}
    ]


def _ties_words(rules: Mapping[str, Any]) -> list[str]:
    words = [tie_words(key) for key in rules.get("tie_breaks", ())]
    if not words:
        return [_("Who is level on points shares the rank.")]
    return [_("Level on points: %(ways)s.") % {"ways": _(", then ").join(words)}]


def tie_words(key: str) -> str:
    """What decides between who is level on points."""
    return {
        "weight": _("the greater weight in the rounds that count"),
        "best_places": _("more first places, then seconds and so on"),
        "last_round": _("the better last round, dropped or not"),
    }[key]


def behind_words(behind: str | None) -> str:
    """What sets a row behind the one above, where points do not."""
    return {
        "weight": _("level, by weight"),
        "best_places": _("level, by best places"),
        "last_round": _("level, by the last round"),
        "equal": _("equal"),
    }.get(behind or "", "")


def dropped_words(reason: str) -> str:
    """Why a round is dropped and not another."""
    return {
        "missed": _("missed"),
        "points": _("the worst by points"),
        "weight": _("as many points as a round that counts, with less weight"),
        "earlier": _("the same as a round that counts, and earlier"),
    }[reason]


def round_state_words(state: str, *, confirmed: bool | None) -> str:
    """How a round stands in the table."""
    if state == "counted":
        return _("confirmed") if confirmed else _("provisional")
    return {
        "to_come": _("to come"),
        "called_off": _("called off"),
        "other_way": _("not added up: its points go the other way round"),
    }[state]


def because_words(because: Mapping[str, Any], *, first: bool = False) -> str:
    """What brought a table on."""
    kind = because["kind"]
    if first and kind != "bulletin":
        return _("The first table")
    if kind == "bulletin":
        said = _("Bulletin %(n)s of %(match)s") % {
            "n": because["bulletin"],
            "match": because["match"],
        }
    else:
        said = {
            "rules": _("Other rules"),
            "rounds": _("Other rounds"),
            "name": _("Another name"),
        }[kind]
    return f"{said}: {because['reason']}" if because["reason"] else said
