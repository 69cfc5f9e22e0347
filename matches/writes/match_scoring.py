"""How a match is scored: its unit, its rules, its tie-breaks, its net cap, its fish."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from matches.comma_words import comma_words
from matches.models import Fact, FactKind, Match, NetCapRule, Person, ScoredBy, WeightUnit
from matches.reckon.decimals import decimal_read, point_typed
from matches.reckon.errors import BadInput, Fault
from matches.reckon.placings.request import TIE_BREAKS
from matches.reckon.placings.scheme import ABSENTS, BLANKS, DIRECTIONS, TIES, scheme_read
from matches.reckon.reading import Reading, is_storable
from matches.reckon.scheme_presets import ranks_without_singles, scheme_of, scheme_rules
from matches.reckon.weights import weight_text

from .audit import audit_record
from .locks import match_locked
from .page_marks import mark_check

CAP_MOST = 2_000_000
SPECIES_MOST, POINTS_MOST = 60, 10_000
RULES = ("direction", "ties", "blank", "absent", "first", "step")
FIELDS = (
    "weight_unit",
    *RULES,
    "singles",
    "break-1",
    "break-2",
    "break-3",
    "cap",
    "net_cap_rule",
    "scored_by",
    "species",
)
_WORDS: dict[str, Sequence[str]] = {
    "direction": DIRECTIONS,
    "ties": TIES,
    "blank": BLANKS,
    "absent": ABSENTS,
}
_POUNDS = re.compile(r"(\d{1,4})(?: *lb)?(?:[ ,]+(\d{1,2}) *oz)?(?:[ ,]+(\d{1,2}) *dr)?")


@dataclass(frozen=True, slots=True)
class Scoring:
    """What a match keeps of how it is scored; the net cap in its unit."""

    weight_unit: str
    scheme: Any
    team_tie_breaks: list[str]
    net_cap: int | None
    net_cap_rule: str
    scored_by: str
    species: list[dict[str, Any]]


def scoring_typed(match: Match) -> dict[str, str]:
    """What stands, as it is typed."""
    rules = {key: said or "" for key, said in scheme_rules(match.scheme).items()}
    breaks = [*match.team_tie_breaks, "", "", ""][:3]
    return {
        "weight_unit": match.weight_unit,
        **rules,
        "singles": "yes" if ranks_without_singles(match.scheme) else "",
        **{f"break-{n}": word for n, word in enumerate(breaks, 1)},
        "cap": cap_typed(match.net_cap, unit=match.weight_unit),
        "net_cap_rule": match.net_cap_rule,
        "scored_by": match.scored_by,
        "species": "\n".join(f"{one['name']} {one['points']}" for one in match.species),
    }


def cap_typed(cap: int | None, *, unit: str) -> str:
    """A net cap as it is typed: kilograms with a point, or pounds, ounces and drams."""
    if cap is None:
        return ""
    if unit == WeightUnit.GRAMS:
        return f"{cap // 1000}.{cap % 1000:03}".rstrip("0").rstrip(".")
    return weight_text(cap, unit="dr")


def scoring_parse(typed: Mapping[str, str]) -> Scoring:
    """Read the typed fields (`FIELDS`). Raises BadInput with every fault, each at its field."""
    faults: list[Fault] = []
    unit = _choice(typed, "weight_unit", WeightUnit.values, faults)
    scoring = Scoring(
        weight_unit=unit,
        scheme=_scheme(typed, faults),
        team_tie_breaks=_breaks(typed, faults),
        net_cap=_cap(typed.get("cap", "").strip(), unit=unit, faults=faults),
        net_cap_rule=_choice(typed, "net_cap_rule", NetCapRule.values, faults),
        scored_by=_choice(typed, "scored_by", ScoredBy.values, faults),
        species=_species(typed.get("species", ""), faults),
    )
    if scoring.scored_by == ScoredBy.FISH and not scoring.species and not faults:
        faults.append(Fault("/species", _("Name the fish that score, each with its points.")))
    if faults:
        raise BadInput(*faults)
    return scoring


def match_scoring_set(
    person: Person, *, match: Match, scoring: Scoring, mark: str = ""
) -> list[str]:
    """Score the match so from now on; gives the fields that changed.

    `mark` (`page_mark` of the scoring) says on what page it was typed. Raises BadInput: once
    weights came for another unit, another thing scored or fish taken out; an old page.
    """
    with transaction.atomic():
        match = match_locked(person, match=match)
        fields = [k for k in Scoring.__slots__ if getattr(match, k) != getattr(scoring, k)]
        if not fields:
            return []
        mark_check(mark, stands=scoring_typed(match))
        if {"weight_unit", "scored_by", "species"} & set(fields) and weights_came(match):
            _after_weights_check(match, scoring)
        before = {key: getattr(match, key) for key in fields}
        for key in fields:
            setattr(match, key, getattr(scoring, key))
        match.save(update_fields=fields)
        audit_record(
            club=match.club,
            person=person,
            verb="match_scoring_set",
            subject=match,
            detail={
                "match": match.pk,
                "before": before,
                "after": {key: getattr(match, key) for key in fields},
            },
        )
        return fields


def weights_came(match: Match) -> bool:
    """Whether any weigh-in of the match was logged, standing or not."""
    return Fact.objects.filter(match=match, kind=FactKind.WEIGH_IN).exists()


def _after_weights_check(match: Match, scoring: Scoring) -> None:
    faults = []
    if match.weight_unit != scoring.weight_unit:
        faults.append(Fault("/weight_unit", _("Weights came in this unit already: it stays.")))
    if match.scored_by != scoring.scored_by:
        faults.append(Fault("/scored_by", _("Weights came in already: what is scored stays.")))
    names = {one["name"] for one in scoring.species}
    lost = [one["name"] for one in match.species if one["name"] not in names]
    if lost:
        said = _("Weights came in already: keep %(fish)s on the list.") % {"fish": ", ".join(lost)}
        faults.append(Fault("/species", said))
    if faults:
        raise BadInput(*faults)


def _choice(typed: Mapping[str, str], key: str, words: Sequence[str], faults: list[Fault]) -> str:
    word = typed.get(key, "")
    if word not in words:
        faults.append(Fault(f"/{key}", _("Choose one of the list.")))
        return words[0]
    return word


def _scheme(typed: Mapping[str, str], faults: list[Fault]) -> Any:
    """The rules as the placings calculator takes them, read by its own reader."""
    rules: dict[str, str | None] = {
        key: _choice(typed, key, words, faults) for key, words in _WORDS.items()
    }
    high = rules["direction"] == "high"
    rules["first"] = (point_typed(typed.get("first", "")) or None) if high else None
    rules["step"] = (point_typed(typed.get("step", "")) or "1") if high else "1"
    reading = Reading()
    scheme_read(reading, rules, ())
    faults.extend(Fault(f.pointer, _rule_fault(f.pointer, typed)) for f in reading.faults)
    return scheme_of(rules, without_singles=typed.get("singles") == "yes")


def _rule_fault(pointer: str, typed: Mapping[str, str]) -> str:
    if pointer in ("/first", "/step"):
        words = _("Write points above 0 such as 30 or 0.5.")
        return comma_words(typed.get(pointer[1:], ""), otherwise=words)
    return _("This goes with points up only: choose another, or let the most points win.")


def _breaks(typed: Mapping[str, str], faults: list[Fault]) -> list[str]:
    """The tie-breaks in their order; an empty one is passed over."""
    chosen: list[str] = []
    for n in (1, 2, 3):
        key = f"break-{n}"
        word = typed.get(key, "")
        if word and word not in TIE_BREAKS:
            faults.append(Fault(f"/{key}", _("Choose one of the list.")))
        elif word in chosen:
            faults.append(Fault(f"/{key}", _("This stands above already: choose another or none.")))
        elif word:
            chosen.append(word)
    return chosen


def _cap(text: str, *, unit: str, faults: list[Fault]) -> int | None:
    """The most a net counts, in the match's unit; empty for no cap."""
    if not text:
        return None
    if unit == WeightUnit.GRAMS:
        kilos = text.removesuffix("kg")
        cap = _grams(kilos)
        words = comma_words(kilos, otherwise=_("Write kilograms such as 22.5."))
    else:
        cap = _drams(text)
        words = _("Write pounds such as 50, or 50 lb 8 oz.")
    if 0 < cap <= CAP_MOST:
        return cap
    faults.append(Fault("/cap", words))
    return None


def _grams(kilos: str) -> int:
    """Whole grams of "22.5"; 0 for anything else."""
    value = decimal_read(point_typed(kilos))
    grams = value * 1000 if value is not None else Fraction(0)
    return int(grams) if grams.denominator == 1 else 0


def _drams(text: str) -> int:
    """Whole drams of "50 lb 8 oz"; 0 for anything else."""
    found = _POUNDS.fullmatch(text) if text.isascii() else None
    pounds, ounces, drams = (int(part or 0) for part in found.groups()) if found else (0, 0, 0)
    return (pounds * 16 + ounces) * 16 + drams if ounces < 16 and drams < 16 else 0


def _species(text: str, faults: list[Fault]) -> list[dict[str, Any]]:
    """A fish a line, its points at the end: "Roach 1"."""
    rows: list[dict[str, Any]] = []
    seen: set[str] = set()
    for line in text.splitlines():
        if not line.strip():
            continue
        name, _space, points = line.strip().rpartition(" ")
        name = name.strip().rstrip(":=").strip()
        fits = points.isascii() and points.isdigit() and len(points) < 6
        if not name or len(name) > 60 or not is_storable(name) or not fits:
            said = _("Write one fish a line with whole points, such as Roach 1. Mend: %(line)s")
            faults.append(Fault("/species", said % {"line": line.strip()[:40]}))
        elif not 1 <= int(points) <= POINTS_MOST:
            faults.append(Fault("/species", _("Points go from 1 to %(n)d.") % {"n": POINTS_MOST}))
        elif name.casefold() in seen:
            said = _("%(fish)s stands here twice: name it once.")
            faults.append(Fault("/species", said % {"fish": name}))
        else:
            seen.add(name.casefold())
            rows.append({"name": name, "points": int(points)})
    if len(rows) > SPECIES_MOST:
        faults.append(Fault("/species", _("Name at most %(n)d fish.") % {"n": SPECIES_MOST}))
    return rows
