"""A club's baits, shops, orders and larders as tables. A visiting team's are its own affair."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Final

from django.db.models import F

from bait.models import (
    Bait,
    LarderLot,
    LotMove,
    Order,
    OrderLine,
    PaidBack,
    Share,
    Shop,
    ShopCharge,
    ShopPayment,
)
from matches.models import Club
from matches.reads.club_table import CHUNK, ClubTable, values
from matches.reckon.money import pence_format

from .shops import packs_listed

ORDER: Final = ("order", "the order’s id in orders.csv")
LOT: Final = ("lot", "the lot’s id in larder.csv")


def _prices(club: Club) -> Iterator[Sequence[Any]]:
    rows = packs_listed().filter(shop__club=club).select_related("shop")
    for pack in rows.order_by("shop__key", "bait__name", "pk").iterator(chunk_size=CHUNK):
        steps = [(step.from_packs, pence_format(step.price_pence)) for step in pack.breaks.all()]
        first, second = [*steps, ("", ""), ("", "")][:2]
        yield (
            pack.shop.key, pack.bait.key, pack.amount, pack.unit, pence_format(pack.price_pence),
            *first, *second, pack.max_packs, pack.retired,
        )  # fmt: skip


def _orders(club: Club) -> Iterator[Sequence[Any]]:
    rows = Order.objects.filter(match__club=club, team__visitors=False).order_by("pk")
    return values(
        rows, "pk", "match_id", "team__name", "placed__number", "placed__goods_pence",
        "placed__delivery_pence", "placed__total_pence", "placed_at", "received_at", "bagged_at",
        "settled_at",
    )  # fmt: skip


def _of_placed(model: type[OrderLine] | type[Share], club: Club) -> Any:
    """What belongs to the version of an order that was placed."""
    return model.objects.filter(
        version__order__match__club=club,
        version__order__team__visitors=False,
        version__order__placed=F("version"),
    ).order_by("version__order_id", "pk")


def _of_order(model: Any, club: Club) -> Any:
    return model.objects.filter(order__match__club=club, order__team__visitors=False).order_by("pk")


TABLES: Final[tuple[ClubTable, ...]] = (
    ClubTable(
        "baits.csv", "The club’s baits.",
        (
            ("key", ""), ("name", ""), ("kind", "groundbait, soil, particle, animal or other"),
            ("unit", "what people count it in"), ("bulk_density_kg_per_l", "kilograms a litre"),
            ("bag_amount", "one bag of it, in unit"), ("family", "larvae, worm or empty"),
            ("dead", "yes or no"),
        ),
        lambda club: values(
            Bait.objects.filter(club=club).order_by("key"), "key", "name", "kind", "unit",
            "bulk_density_kg_per_l", "bag_amount", "family", "dead",
        ),
    ),
    ClubTable(
        "shops.csv", "Shops and their terms; all money in pence.",
        (
            ("key", ""), ("name", ""), ("delivery_fee_pence", ""), ("minimum_spend_pence", ""),
            ("free_delivery_from_pence", "empty: never free"),
            ("lead_days", "days before the match"),
            ("cut_off", "the time on that day, at the venue"), ("retired", "yes or no"),
        ),
        lambda club: values(
            Shop.objects.filter(club=club).order_by("key"), "key", "name", "delivery_fee_pence",
            "minimum_spend_pence", "free_delivery_from_pence", "lead_days", "cut_off", "retired",
        ),
    ),
    ClubTable(
        "prices.csv", "Packs of all shops, with two breaks of price.",
        (
            ("shop", "its key in shops.csv"), ("bait", "its key in baits.csv"),
            ("amount", "in one pack"), ("unit", "of the amount"),
            ("price", "of one pack, in the club’s currency"),
            ("from_packs", "from so many on"), ("break_price", "each costs this"),
            ("from_packs_2", ""), ("break_price_2", ""), ("max_packs", "to be had at most"),
            ("retired", "yes or no"),
        ),
        _prices,
    ),
    ClubTable(
        "orders.csv", "Each team’s order for a match, as it was placed; all money in pence.",
        (
            ("id", "the order’s key here"), ("match", "the match’s id in matches.csv"),
            ("team", "name of the team"), ("version", "the one that was placed"),
            ("goods_pence", ""), ("delivery_pence", ""), ("total_pence", ""),
            ("placed_at", "UTC"), ("received_at", "UTC"), ("bagged_at", "UTC"),
            ("settled_at", "UTC"),
        ),
        _orders,
    ),
    ClubTable(
        "order_lines.csv", "What placed orders bought.",
        (
            ORDER, ("shop", "its key"), ("bait", "its key"), ("amount", "in one pack"),
            ("unit", "of the amount"), ("packs", ""), ("unit_price_pence", "of one pack"),
            ("cost_pence", "of them all"),
        ),
        lambda club: values(
            _of_placed(OrderLine, club), "version__order_id", "pack__shop__key", "pack__bait__key",
            "pack__amount", "pack__unit", "packs", "unit_price_pence", "cost_pence",
        ),
    ),
    ClubTable(
        "shares.csv", "What each member’s part of a placed order comes to.",
        (
            ORDER, ("angler", "the angler’s id in anglers.csv"), ("due_pence", ""),
            ("alone_pence", "what an order alone would have cost"),
        ),
        lambda club: values(
            _of_placed(Share, club), "version__order_id", "angler_id", "due_pence", "alone_pence"
        ),
    ),
    ClubTable(
        "shop_payments.csv", "Who paid a shop.",
        (ORDER, ("shop", "its key"), ("angler", "id"), ("pence", ""), ("noted_at", "UTC")),
        lambda club: values(
            _of_order(ShopPayment, club), "order_id", "shop__key", "angler_id", "pence", "noted_at"
        ),
    ),
    ClubTable(
        "shop_charges.csv", "What a shop charged in the end, where not what the order says.",
        (ORDER, ("shop", "its key"), ("pence", ""), ("noted_at", "UTC")),
        lambda club: values(
            _of_order(ShopCharge, club), "order_id", "shop__key", "pence", "noted_at"
        ),
    ),
    ClubTable(
        "paid_back.csv", "Who paid whom back.",
        (ORDER, ("payer", "id"), ("payee", "id"), ("pence", ""), ("noted_at", "UTC")),
        lambda club: values(
            _of_order(PaidBack, club), "order_id", "payer_id", "payee_id", "pence", "noted_at"
        ),
    ),
    ClubTable(
        "larder.csv", "Bait in hand of the club’s teams, lot by lot.",
        (
            ("id", "the lot’s key here"), ("team", "name of the team"),
            ("angler", "whose own it is, id; empty: the team’s"), ("bait", "its key"),
            ("amount", "in unit"), ("unit", ""), ("state", "fresh, frozen, dry or cooked"),
            ("note", ""), ("bought_on", "the day"), ("use_by", "the day"),
        ),
        lambda club: values(
            LarderLot.objects.filter(team__club=club, team__visitors=False).order_by("pk"), "pk",
            "team__name", "angler_id", "bait__key", "amount", "unit", "state", "note", "bought_on",
            "use_by",
        ),
    ),
    ClubTable(
        "larder_moves.csv", "What came to a lot and went from it.",
        (
            LOT, ("kind", "brought, left_over, taken, thrown or corrected"),
            ("amount", "in the lot’s unit; below zero: went"), ("match", "id, where for one"),
            ("at", "UTC"),
        ),
        lambda club: values(
            LotMove.objects.filter(lot__team__club=club, lot__team__visitors=False).order_by("pk"),
            "lot_id", "kind", "amount", "match_id", "at",
        ),
    ),
)  # fmt: skip
