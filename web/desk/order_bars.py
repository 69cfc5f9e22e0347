"""The order as stacked bars: one bar a shop, one piece a bait, the delivery last."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _

from bait.reads.order_shown import ShopPart, VersionShown
from web.picture_parts import HUES
from web.templatetags.money import money

WIDTH = 320


@dataclass(frozen=True, slots=True)
class BarPiece:
    """One piece of a bar in picture units; `hue` picks its class, None is delivery."""

    name: str
    cost: int
    x: str
    width: str
    hue: int | None


@dataclass(frozen=True, slots=True)
class Bar:
    shop: str
    total: int
    pieces: tuple[BarPiece, ...]
    words: str


def order_bars(shown: VersionShown, *, currency: str) -> list[Bar]:
    """Bars to one scale, the dearest shop filling the width; `words` says the same."""
    most = max((shop.total for shop in shown.shops), default=0)
    baits = sorted({line.pack.bait.name for shop in shown.shops for line in shop.lines})
    hues = {name: n % HUES for n, name in enumerate(baits)}
    return [_bar(shop, most=most or 1, hues=hues, currency=currency) for shop in shown.shops]


def _bar(shop: ShopPart, *, most: int, hues: dict[str, int], currency: str) -> Bar:
    costs: dict[str, int] = {}
    for line in shop.lines:
        costs[line.pack.bait.name] = costs.get(line.pack.bait.name, 0) + line.cost_pence
    parts: list[tuple[str, int, int | None]] = [
        (name, cost, hues[name]) for name, cost in costs.items() if cost
    ]
    if shop.delivery:
        parts.append((_("delivery"), shop.delivery, None))
    pieces, at = [], 0
    for name, cost, hue in parts:
        pieces.append(BarPiece(name, cost, _units(at, most=most), _units(cost, most=most), hue))
        at += cost
    words = ", ".join(f"{piece.name} {money(piece.cost, currency)}" for piece in pieces)
    return Bar(shop.name, shop.total, tuple(pieces), words)


def _units(pence: int, *, most: int) -> str:
    """Text, so that no locale turns the point into a comma."""
    return f"{pence * WIDTH / most:.1f}"
