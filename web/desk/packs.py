"""One pack of a shop's price list."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _

from bait.models import Bait, Pack, Shop, Unit
from bait.reads.price_lists import pack_prices
from bait.reads.shops import bait_of, baits_listed, baits_of, club_kept, pack_of, shop_of
from bait.reckon.order.parse import MOST_BREAKS
from bait.reckon.price_list import pack_read
from bait.words import pack_said
from bait.writes.packs import (
    pack_add,
    pack_bring_back,
    pack_delete,
    pack_prices_change,
    pack_retire,
)
from matches.models import Club
from matches.reckon.decimals import decimal_plain
from matches.reckon.money import pence_format
from web.methods import shown_and_sent
from web.people import person_of

from .field_form import FieldForm, form_sent
from .form_act import form_act
from .shops import desk_page
from .undo import Done

BREAKS_SHOWN = 3
SPARE_BREAKS = 2


@login_required
@shown_and_sent
def pack_new(request: HttpRequest, slug: str, key: str) -> HttpResponse:
    """A further pack for the shop's list."""
    club = club_kept(person_of(request), slug=slug)
    shop = shop_of(club, key=key)
    baits = baits_of(club)
    form = _form_sent(request)
    if request.method == "POST":
        here = reverse("desk:pack-new", args=[club.slug, shop.key])
        onward = reverse("desk:shop", args=[club.slug, shop.key])
        answer = form_act(
            request,
            form,
            lambda: _pack_add(request, shop, baits=baits, form=form),
            here=here,
            onward=onward,
        )
        if answer is not None:
            return answer
    return _page(request, "pack_new", club, shop, form=form, baits=baits, units=Unit.choices)


@login_required
@shown_and_sent
def pack(request: HttpRequest, slug: str, key: str, pack_id: int) -> HttpResponse:
    """What one pack costs; retired and brought back, deleted while no order names it."""
    club = club_kept(person_of(request), slug=slug)
    shop = shop_of(club, key=key)
    found = pack_of(shop, pack_id=pack_id)
    form = _form_kept(found)
    if request.method == "POST":
        form = _form_sent(request, pack=found)
        answer = form_act(
            request,
            form,
            lambda: _pack_act(request, club, pack=found, form=form),
            here=reverse("desk:pack", args=[club.slug, shop.key, found.pk]),
            onward=reverse("desk:shop", args=[club.slug, shop.key]),
        )
        if answer is not None:
            return answer
    return _page(request, "pack", club, shop, form=form, pack=found)


def _pack_add(request: HttpRequest, shop: Shop, *, baits: list[Bait], form: FieldForm) -> str:
    line = pack_read(form.values, baits=baits_listed(baits))
    pack = pack_add(person_of(request), shop=shop, line=line)
    return _("%(pack)s is in the list.") % {"pack": pack_said(pack)}


def _pack_act(request: HttpRequest, club: Club, *, pack: Pack, form: FieldForm) -> str | Done:
    """Do what was pressed; what to say of it."""
    person, name = person_of(request), {"pack": pack_said(pack)}
    match request.POST.get("do"):
        case "retire":
            pack_retire(person, pack=pack)
            said = _("%(pack)s is retired: no order buys it. You can bring it back below.") % name
            here = reverse("desk:pack", args=[club.slug, pack.shop.key, pack.pk])
            return Done(said, here, {"do": "back"})
        case "back":
            pack_bring_back(person, pack=pack)
            return _("%(pack)s is in the list again.") % name
        case "delete":
            pack_delete(person, pack=pack)
            return _("%(pack)s is deleted.") % name
        case _:
            bait = bait_of(club, key=pack.bait.key)
            line = pack_read(form.values, baits=baits_listed([bait]))
            changed = pack_prices_change(person, pack=pack, prices=line.prices)
            return (
                _("%(pack)s has its new price.") % name
                if changed
                else _("Nothing differed: nothing is changed.")
            )


def _form_kept(pack: Pack) -> FieldForm:
    prices = pack_prices(pack)
    values = {**_identity(pack), "price": pence_format(prices.price)}
    values["max_packs"] = "" if prices.max_packs is None else str(prices.max_packs)
    shown = max(BREAKS_SHOWN, len(prices.breaks) + SPARE_BREAKS)
    for n, (from_name, price_name) in enumerate(_break_names(min(MOST_BREAKS, shown))):
        step = prices.breaks[n] if n < len(prices.breaks) else None
        values[from_name] = "" if step is None else str(step[0])
        values[price_name] = "" if step is None else pence_format(step[1])
    return FieldForm(values)


def _form_sent(request: HttpRequest, *, pack: Pack | None = None) -> FieldForm:
    """What was sent; a pack that is there keeps its bait and size, whatever was sent of them."""
    shown = BREAKS_SHOWN
    while shown < MOST_BREAKS and f"from_packs_{shown + 1}" in request.POST:
        shown += 1
    names = ["bait", "amount", "unit", "price", "max_packs"]
    names += [name for pair in _break_names(shown) for name in pair]
    form = form_sent(request.POST, names=names)
    if pack is not None:
        form.values |= _identity(pack)
    return form


def _identity(pack: Pack) -> dict[str, str]:
    return {
        "bait": pack.bait.key,
        "amount": decimal_plain(pack.amount),
        "unit": pack.unit,
    }


def _break_names(count: int) -> list[tuple[str, str]]:
    ends = ["" if n == 1 else f"_{n}" for n in range(1, count + 1)]
    return [(f"from_packs{end}", f"break_price{end}") for end in ends]


def _page(
    request: HttpRequest, name: str, club: Club, shop: Shop, *, form: FieldForm, **context: object
) -> HttpResponse:
    count = sum(field.startswith("from_packs") for field in form.values)
    breaks = [
        [(field, form.values[field], form.faults.get(field, "")) for field in pair]
        for pair in _break_names(count)
    ]
    return desk_page(request, name, club, shop=shop, form=form, breaks=breaks, **context)
