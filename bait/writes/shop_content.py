"""A shop's terms and a bait's facts as a form sends them, read with every fault in its place."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from django.utils.translation import gettext as _

from bait.models import BaitFamily, BaitKind, Unit
from bait.reckon.order.parse import MOST_TERMS
from bait.reckon.units import MOST_DENSITY
from matches.comma_words import comma_words
from matches.reckon.decimals import decimal_read, digits_read, point_typed
from matches.reckon.errors import BadInput
from matches.reckon.money import pence_parse
from matches.reckon.reading import Reading, is_storable

NAME_LONGEST: Final = 80
LEAD_DAYS_MOST: Final = 60
BAG_MOST: Final = 1_000


@dataclass(frozen=True, slots=True)
class ShopTerms:
    """What a shop is called and asks for; money in pence, `cut_off` at the venue."""

    name: str
    delivery_fee_pence: int
    minimum_spend_pence: int
    free_delivery_from_pence: int | None
    lead_days: int
    cut_off: dt.time


@dataclass(frozen=True, slots=True)
class BaitContent:
    """A bait of the club: its unit, kilograms a litre, and how much of the unit is in a usual bag;
    None where nobody said."""

    name: str
    kind: str
    unit: str
    bulk_density_kg_per_l: Decimal | None
    bag_amount: Decimal | None
    family: str
    dead: bool


def shop_terms_parse(fields: Mapping[str, str]) -> ShopTerms:
    """Read name, delivery_fee, minimum_spend, free_delivery_from, lead_days and cut_off.

    Money left empty is none. Raises BadInput; its faults point at "/field".
    """
    reading = Reading()
    free = _text(fields, "free_delivery_from")
    terms = ShopTerms(
        name=_name(reading, fields),
        delivery_fee_pence=_money(reading, fields, "delivery_fee"),
        minimum_spend_pence=_money(reading, fields, "minimum_spend"),
        free_delivery_from_pence=_money(reading, fields, "free_delivery_from") if free else None,
        lead_days=_lead_days(reading, fields),
        cut_off=_cut_off(reading, fields),
    )
    reading.finish()
    return terms


def bait_content_parse(fields: Mapping[str, str]) -> BaitContent:
    """Read name, kind, unit, density, bag, family and dead ("on" or nothing).

    Raises BadInput; its faults point at "/field".
    """
    reading = Reading()
    content = BaitContent(
        name=_name(reading, fields),
        kind=_choice(reading, fields, "kind", words=BaitKind.values),
        unit=_choice(reading, fields, "unit", words=Unit.values),
        bulk_density_kg_per_l=_decimal(reading, fields, "density", most=MOST_DENSITY),
        bag_amount=_decimal(reading, fields, "bag", most=BAG_MOST),
        family=_choice(reading, fields, "family", words=BaitFamily.values),
        dead=bool(_text(fields, "dead")),
    )
    reading.finish()
    return content


def _text(fields: Mapping[str, str], key: str) -> str:
    return fields.get(key, "").strip()


def _name(reading: Reading, fields: Mapping[str, str]) -> str:
    name = " ".join(_text(fields, "name").split())
    if not name:
        reading.fault(("name",), _("Write its name."))
    elif len(name) > NAME_LONGEST or not is_storable(name):
        reading.fault(
            ("name",), _("Keep the name to %(n)d plain characters.") % {"n": NAME_LONGEST}
        )
    return name


def _money(reading: Reading, fields: Mapping[str, str], key: str) -> int:
    text = point_typed(_text(fields, key))
    if not text:
        return 0
    try:
        pence = pence_parse(text)
    except BadInput:
        reading.fault(
            (key,),
            comma_words(
                text, otherwise=_("Write the money such as 4.20, without the currency’s sign.")
            ),
        )
        return 0
    if pence > MOST_TERMS:
        reading.fault((key,), _("This can be at most %(most)d.00.") % {"most": MOST_TERMS // 100})
        return 0
    return pence


def _lead_days(reading: Reading, fields: Mapping[str, str]) -> int:
    text = _text(fields, "lead_days")
    days = digits_read(text, most=LEAD_DAYS_MOST)
    if days is not None:
        return days
    reading.fault(
        ("lead_days",),
        _("Write how many whole days before the match, from 0 to %(n)d.") % {"n": LEAD_DAYS_MOST},
    )
    return 0


def _cut_off(reading: Reading, fields: Mapping[str, str]) -> dt.time:
    text = _text(fields, "cut_off")
    try:
        return dt.datetime.strptime(text[:5], "%H:%M").time()  # noqa: DTZ007  (a time of day)
    except ValueError:
        reading.fault(("cut_off",), _("Write the time of day such as 17:00."))
        return dt.time(17)


def _choice(
    reading: Reading, fields: Mapping[str, str], key: str, *, words: Collection[str]
) -> str:
    text = fields.get(key, "")
    if text not in words:
        reading.fault((key,), _("Choose one of the list."))
    return text


def _decimal(reading: Reading, fields: Mapping[str, str], key: str, *, most: int) -> Decimal | None:
    text = point_typed(_text(fields, key))
    if not text:
        return None
    value = decimal_read(text)
    if value is None or not 0 < value <= most:
        reading.fault(
            (key,),
            comma_words(
                text,
                otherwise=_(
                    "Write a number such as 0.62: above zero, up to %(most)d, at most four places."
                )
                % {"most": most},
            ),
        )
        return None
    return Decimal(text)
