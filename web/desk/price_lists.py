"""A shop's price list as a file: looked at first, then imported with one tap; and exported."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from bait.models import Bait, Pack, Shop
from bait.reads.price_lists import price_list_compare
from bait.reads.shops import baits_listed, baits_of, club_kept, packs_of, shop_of
from bait.reckon.price_heads import NEEDED
from bait.reckon.price_list import price_list_parse
from bait.writes.price_lists import ListImported, price_list_import
from matches.models import Club
from matches.reckon.decimals import decimal_plain
from matches.reckon.errors import BadInput, Fault
from matches.reckon.money import pence_format
from web.csv_files import csv_file
from web.methods import shown_and_sent
from web.people import person_of

from .file_kept import faults_told, file_keep, file_sent, imported_said, ticked_to_retire
from .shops import desk_page


@login_required
@shown_and_sent
def price_list(request: HttpRequest, slug: str, key: str) -> HttpResponse:
    """Choose a file, see what it would change, then import it."""
    club = club_kept(person_of(request), slug=slug)
    shop = shop_of(club, key=key)
    if request.method != "POST":
        return desk_page(request, "price_list", club, shop=shop)
    baits, owner = baits_of(club), f"shop {shop.pk}"
    try:
        sent = file_sent(request, owner=owner)
        lines = price_list_parse(sent.text, baits=baits_listed(baits))
    except BadInput as bad:
        return _faults_page(request, club, shop, faults=bad.faults)
    if request.POST.get("do") == "import":
        retire = ticked_to_retire(request, sent.gone)
        done = price_list_import(person_of(request), shop=shop, lines=lines, retire=retire)
        messages.success(request, _done_words(done))
        return redirect("desk:shop", club.slug, shop.key)
    compared = price_list_compare(shop, lines=lines)
    names = {bait.key: bait.name for bait in baits}
    return desk_page(
        request,
        "price_list",
        club,
        shop=shop,
        compared=compared,
        names=names,
        kept=file_keep(owner=owner, text=sent.text, gone=[pack.pk for pack in compared.gone]),
    )


def _done_words(done: ListImported) -> str:
    if not done.anything:
        return _("Nothing differed: nothing is changed.")
    return imported_said(done)


def _faults_page(
    request: HttpRequest, club: Club, shop: Shop, *, faults: Sequence[Fault]
) -> HttpResponse:
    return desk_page(
        request,
        "price_list",
        club,
        shop=shop,
        **faults_told(faults),
    )


@login_required
@require_safe
def price_list_csv(request: HttpRequest, slug: str, key: str) -> HttpResponse:
    """The packs now sold, in the columns an import reads: UTF-8 with a mark."""
    club = club_kept(person_of(request), slug=slug)
    shop = shop_of(club, key=key)
    packs = [pack for pack in packs_of(shop) if not pack.retired]
    most = max([1, *(len(pack.breaks.all()) for pack in packs)])
    ends = ["" if n == 1 else f"_{n}" for n in range(1, most + 1)]
    heads = [name + end for end in ends for name in ("from_packs", "break_price")]
    names = _names(baits_of(club))
    rows = [_cells(pack, names=names, breaks=most) for pack in packs]
    return csv_file(
        [[*NEEDED, *heads, "max_packs"], *rows],
        disposition=f'attachment; filename="{shop.key}-prices.csv"',
    )


def _cells(pack: Pack, *, names: dict[str, str], breaks: int) -> list[Any]:
    steps: list[tuple[Any, str]] = [
        (step.from_packs, pence_format(step.price_pence)) for step in pack.breaks.all()
    ]
    steps += [("", "")] * (breaks - len(steps))
    return [
        names[pack.bait.key],
        decimal_plain(pack.amount),
        pack.unit,
        pence_format(pack.price_pence),
        *(cell for step in steps for cell in step),
        pack.max_packs,
    ]


def _names(baits: Sequence[Bait]) -> dict[str, str]:
    """What an import knows each bait by: its name, or its key where another could be meant."""
    said = Counter(word for bait in baits for word in {bait.name.casefold(), bait.key.casefold()})
    return {bait.key: bait.key if said[bait.name.casefold()] > 1 else bait.name for bait in baits}
