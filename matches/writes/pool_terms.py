"""What a secretary types of a pool, read into what the pool keeps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from django.utils.translation import gettext as _

from matches.comma_words import comma_words
from matches.models import Pool, WonBy
from matches.reckon.decimals import decimal_read, point_typed
from matches.reckon.errors import BadInput, Fault
from matches.reckon.money import money_typed, pence_format
from matches.reckon.pool_presets import PoolPreset, frame_percents, section_pence
from matches.reckon.reading import is_storable

PLACES: Final = 10
PLACE_FIELDS: Final = tuple(f"place-{n}" for n in range(1, PLACES + 1))
FIELDS: Final = (
    "name",
    "stake",
    "who",
    "won_by",
    *PLACE_FIELDS,
    "section",
    "by_default",
    "rest_to",
)
STAKE_MOST: Final = 100_000
NAME_MOST, REST_MOST = 80, 200


@dataclass(frozen=True, slots=True)
class PoolTerms:
    """What each pays in and how it is won; `frame` as the pool keeps it."""

    name: str
    stake_pence: int
    opt_in: bool
    won_by: str
    frame: list[dict[str, Any]]
    section_pence: int
    section_by_default: bool
    rest_to: str

    def changed_in(self, pool: Pool) -> list[str]:
        return [key for key in self.__slots__ if getattr(pool, key) != getattr(self, key)]


def pool_typed(pool: Pool) -> dict[str, str]:
    """What stands of a pool as it is typed."""
    prizes = {row["place"]: row for row in pool.frame}
    return {
        "name": pool.name,
        "stake": pence_format(pool.stake_pence),
        "who": "opt_in" if pool.opt_in else "all",
        "won_by": pool.won_by,
        **{key: _prize_typed(prizes.get(n)) for n, key in enumerate(PLACE_FIELDS, 1)},
        "section": pence_format(pool.section_pence) if pool.section_pence else "",
        "by_default": "yes" if pool.section_by_default else "",
        "rest_to": pool.rest_to,
    }


def preset_typed(preset: PoolPreset, *, name: str, entries: int, sections: int) -> dict[str, str]:
    """A preset filled in for so many entries and sections."""
    percents = frame_percents(preset, entries=entries)
    pool = 0 if preset.opt_in else preset.stake * entries
    each = section_pence(preset, pool=pool, sections=sections)
    return {
        **dict.fromkeys(FIELDS, ""),
        "name": name,
        "stake": pence_format(preset.stake),
        "who": "opt_in" if preset.opt_in else "all",
        "won_by": preset.won_by,
        **{key: f"{p} %" for key, p in zip(PLACE_FIELDS, percents, strict=False)},
        "section": pence_format(each) if each else "",
        "by_default": "yes" if percents else "",
        "rest_to": preset.rest_to,
    }


def pool_terms_parse(typed: Mapping[str, str]) -> PoolTerms:
    """Raises BadInput with every fault at its field."""
    faults: list[Fault] = []
    name, rest_to = " ".join(typed.get("name", "").split()), typed.get("rest_to", "").strip()
    if not name or len(name) > NAME_MOST or not is_storable(name):
        faults.append(Fault("/name", _("Give the pool a name of at most 80 plain characters.")))
    if len(rest_to) > REST_MOST or not is_storable(rest_to):
        faults.append(Fault("/rest_to", _("Say it in at most 200 plain characters.")))
    if typed.get("who") not in ("all", "opt_in"):
        faults.append(Fault("/who", _("Choose one of the list.")))
    if typed.get("won_by") not in WonBy.values:
        faults.append(Fault("/won_by", _("Choose one of the list.")))
    stake = _money(typed.get("stake", ""), "stake", faults)
    if not faults and not 0 < stake <= STAKE_MOST:
        faults.append(Fault("/stake", _("Write what each pays in, from 0.01 to 1000.00.")))
    frame = _frame(typed, faults)
    section = _money(typed.get("section", "").strip() or "0", "section", faults)
    if not faults and not frame and not section:
        faults.append(Fault("/place-1", _("Say what is won: a place’s prize or the sections’.")))
    if faults:
        raise BadInput(*faults)
    return PoolTerms(
        name=name,
        stake_pence=stake,
        opt_in=typed["who"] == "opt_in",
        won_by=typed["won_by"],
        frame=frame,
        section_pence=section,
        section_by_default=typed.get("by_default") == "yes",
        rest_to=rest_to,
    )


def _frame(typed: Mapping[str, str], faults: list[Fault]) -> list[dict[str, Any]]:
    """Each place's prize; percentages of the pool come to no more than the whole of it."""
    frame: list[dict[str, Any]] = []
    percents = Fraction(0)
    for place, key in enumerate(PLACE_FIELDS, 1):
        text = typed.get(key, "").strip()
        if not text:
            continue
        if text.endswith("%"):
            said = point_typed(text.removesuffix("%"))
            percent = decimal_read(said)
            if percent is None or not 0 < percent <= 100:
                words = comma_words(said, otherwise=_("Write a percentage such as 50 %."))
                faults.append(Fault(f"/{key}", words))
                continue
            percents += percent
            if percents > 100:
                sentence = _("This is more than the whole pool: percentages come to 100 at most.")
                faults.append(Fault(f"/{key}", sentence))
            frame.append({"place": place, "percent": said})
        elif pence := _money(text, key, faults):
            frame.append({"place": place, "pence": pence})
    return frame


def _money(text: str, key: str, faults: list[Fault]) -> int:
    try:
        pence = money_typed(text)
    except BadInput:
        pence = -1
    if 0 <= pence <= 10_000_000:
        return pence
    words = _("Write an amount such as 12.40, or a percentage: 50 %.")
    faults.append(Fault(f"/{key}", comma_words(text, otherwise=words)))
    return 0


def _prize_typed(row: Mapping[str, Any] | None) -> str:
    if row is None:
        return ""
    return f"{row['percent']} %" if "percent" in row else pence_format(row["pence"])
