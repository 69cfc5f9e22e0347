"""A shop's price list as a file: looked at first, then imported with one tap; and exported."""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Sequence
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core import signing
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from bait.models import Bait, Pack, Shop
from bait.reads.price_lists import price_list_compare
from bait.reads.shops import baits_listed, baits_of, club_kept, packs_of, shop_of
from bait.reckon.price_list import NEEDED, price_list_parse
from bait.writes.price_lists import ListImported, price_list_import
from matches.models import Club
from matches.reckon.cells import MOST_BYTES, cells_decode, fault_place
from matches.reckon.errors import BadInput, Fault
from matches.reckon.money import pence_format
from web.board.downloads import cell_safe
from web.people import person_of

from .shops import PAGE, desk_page

SALT = "drawbag.price-list"
KEPT_SECONDS = 24 * 3600
# What a hidden field may hold, so that the whole form stays below the limit of a body.
KEPT_MOST = 900_000
FAULTS_SHOWN = 100


@login_required
@require_http_methods(PAGE)
def price_list(request: HttpRequest, slug: str, key: str) -> HttpResponse:
    """Choose a file, see what it would change, then import it."""
    club = club_kept(person_of(request), slug=slug)
    shop = shop_of(club, key=key)
    if request.method != "POST":
        return desk_page(request, "price_list", club, shop=shop)
    baits = baits_of(club)
    try:
        text, gone = _list_sent(request, shop)
        lines = price_list_parse(text, baits=baits_listed(baits))
    except BadInput as bad:
        return _faults_page(request, club, shop, faults=bad.faults)
    if request.POST.get("do") == "import":
        done = price_list_import(
            person_of(request), shop=shop, lines=lines, retire=_to_retire(request, gone)
        )
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
        kept=_list_keep(shop, text=text, gone=[pack.pk for pack in compared.gone]),
    )


def _list_sent(request: HttpRequest, shop: Shop) -> tuple[str, list[int]]:
    """The list's text, and which packs were offered for retiring when it was looked at.

    From the file, or from the first step. Raises BadInput.
    """
    sent = request.FILES.get("file")
    if isinstance(sent, UploadedFile):
        if (sent.size or 0) > MOST_BYTES:
            raise BadInput(Fault("", _("The file is larger than 1 MiB: send the list in parts.")))
        return cells_decode(sent.read()), []
    if not request.POST.get("list"):
        raise BadInput(Fault("", _("Choose the file with the prices first.")))
    try:
        kept = signing.loads(request.POST["list"], salt=SALT, max_age=KEPT_SECONDS)
    except signing.BadSignature as error:
        raise BadInput(
            Fault("", _("The list was kept for a day only, or changed: choose the file again."))
        ) from error
    if kept["shop"] != shop.pk:
        raise BadInput(Fault("", _("That list was for another shop: choose the file again.")))
    return kept["text"], kept["gone"]


def _list_keep(shop: Shop, *, text: str, gone: list[int]) -> str:
    """The list as a signed text for the second step; nothing where it would be too long."""
    kept = signing.dumps({"shop": shop.pk, "text": text, "gone": gone}, salt=SALT, compress=True)
    return kept if len(kept) <= KEPT_MOST else ""


def _to_retire(request: HttpRequest, gone: Sequence[int]) -> set[int]:
    """What was ticked, and nothing that was not offered; "all" is all that was."""
    ticked = set(request.POST.getlist("retire"))
    return set(gone) if "all" in ticked else {pk for pk in gone if str(pk) in ticked}


def _done_words(done: ListImported) -> str:
    if not done.anything:
        return _("Nothing differed: nothing is changed.")
    return _(
        "Imported: %(new)d new, %(changed)d changed, %(back)d brought back, %(retired)d retired."
    ) % {
        "new": done.new,
        "changed": done.changed,
        "back": done.back,
        "retired": done.retired,
    }


def _faults_page(
    request: HttpRequest, club: Club, shop: Shop, *, faults: Sequence[Fault]
) -> HttpResponse:
    return desk_page(
        request,
        "price_list",
        club,
        shop=shop,
        faults=[(*fault_place(fault), fault.message) for fault in faults[:FAULTS_SHOWN]],
        more=max(0, len(faults) - FAULTS_SHOWN),
    )


@login_required
@require_safe
def price_list_csv(request: HttpRequest, slug: str, key: str) -> HttpResponse:
    """The packs now sold, in the columns an import reads: UTF-8 with a mark."""
    club = club_kept(person_of(request), slug=slug)
    shop = shop_of(club, key=key)
    packs = [pack for pack in packs_of(shop) if not pack.retired]
    response = HttpResponse("\ufeff", content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="{shop.key}-prices.csv"'
    most = max([1, *(len(pack.breaks.all()) for pack in packs)])
    ends = ["" if n == 1 else f"_{n}" for n in range(1, most + 1)]
    heads = [name + end for end in ends for name in ("from_packs", "break_price")]
    names = _names(baits_of(club))
    writer = csv.writer(response)
    writer.writerow([*NEEDED, *heads, "max_packs"])
    writer.writerows(
        [cell_safe(cell) for cell in _cells(pack, names=names, breaks=most)] for pack in packs
    )
    return response


def _cells(pack: Pack, *, names: dict[str, str], breaks: int) -> list[Any]:
    steps: list[tuple[Any, str]] = [
        (step.from_packs, pence_format(step.price_pence)) for step in pack.breaks.all()
    ]
    steps += [("", "")] * (breaks - len(steps))
    return [
        names[pack.bait.key],
        f"{pack.amount.normalize():f}",
        pack.unit,
        pence_format(pack.price_pence),
        *(cell for step in steps for cell in step),
        pack.max_packs,
    ]


def _names(baits: Sequence[Bait]) -> dict[str, str]:
    """What an import knows each bait by: its name, or its key where another could be meant."""
    said = Counter(word for bait in baits for word in {bait.name.casefold(), bait.key.casefold()})
    return {bait.key: bait.key if said[bait.name.casefold()] > 1 else bait.name for bait in baits}
