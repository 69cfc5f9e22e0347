"""A club's shops: what each asks for, and its price list."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _

from bait.models import Shop
from bait.reads.shops import club_kept, packs_of, shop_of, shops_of
from bait.reckon.starters import EXAMPLE_KEY
from bait.writes.shop_content import shop_terms_parse
from bait.writes.shops import shop_add, shop_bring_back, shop_change, shop_delete, shop_retire
from bait.writes.starters import shop_example_add, shop_example_remove
from matches.models import Club
from matches.problems import Problem
from matches.reckon.errors import BadInput
from matches.reckon.money import pence_format
from web.methods import shown_and_sent
from web.people import person_of

from .field_form import FieldForm, form_sent
from .form_act import form_act, refusal_say
from .undo import Done, done_say

TERMS = (
    "name",
    "delivery_fee",
    "minimum_spend",
    "free_delivery_from",
    "lead_days",
    "cut_off",
)


@login_required
@shown_and_sent
def shops(request: HttpRequest, slug: str) -> HttpResponse:
    """Every shop of the club, and a form for another."""
    club = club_kept(person_of(request), slug=slug)
    form = FieldForm({**dict.fromkeys(TERMS, ""), "lead_days": "1", "cut_off": "17:00"})
    if request.POST.get("do") in ("example", "example-away"):
        return _example(request, club)
    if request.method == "POST":
        form = form_sent(request.POST, names=TERMS)
        try:
            shop = shop_add(person_of(request), club=club, terms=shop_terms_parse(form.values))
        except BadInput as bad:
            form.faults_place(bad.faults)
        else:
            messages.success(
                request, _("%(shop)s is added: give it a price list.") % {"shop": shop.name}
            )
            return redirect("desk:shop", club.slug, shop.key)
    return desk_page(request, "shops", club, shops=shops_of(club), form=form)


def _example(request: HttpRequest, club: Club) -> HttpResponse:
    """Add the invented shop, or take it out; where its baits do not fit, say so."""
    person, added = person_of(request), request.POST["do"] == "example"
    try:
        if added:
            shop_example_add(person, club=club)
        else:
            shop_example_remove(person, club=club)
    except Problem as refused:
        refusal_say(request, refused)
        return redirect("desk:shops", club.slug)
    said = (
        _("The usual baits and an example shop are there. Its prices are invented: try an order.")
        if added
        else _("The example shop is gone. The baits stay.")
    )
    here = reverse("desk:shops", args=[club.slug])
    done_say(request, said if added else Done(said, here, {"do": "example"}))
    return redirect(here)


@login_required
@shown_and_sent
def shop(request: HttpRequest, slug: str, key: str) -> HttpResponse:
    """One shop: its price list, its terms, and whether it is bought from."""
    club = club_kept(person_of(request), slug=slug)
    found = shop_of(club, key=key)
    form = _terms_form(found)
    if request.method == "POST":
        form = form_sent(request.POST, names=TERMS)
        here = reverse("desk:shop", args=[club.slug, found.key])
        gone = request.POST.get("do") == "delete"
        answer = form_act(
            request,
            form,
            lambda: _shop_act(request, found, form=form),
            here=here,
            onward=reverse("desk:shops", args=[club.slug]) if gone else here,
        )
        if answer is not None:
            return answer
    packs = packs_of(found)
    return desk_page(
        request,
        "shop",
        club,
        shop=found,
        packs=[pack for pack in packs if not pack.retired],
        retired=[pack for pack in packs if pack.retired],
        form=form,
    )


def _shop_act(request: HttpRequest, shop: Shop, *, form: FieldForm) -> str | Done:
    """Do what was pressed; what to say of it."""
    person, name = person_of(request), {"shop": shop.name}
    match request.POST.get("do"):
        case "retire":
            shop_retire(person, shop=shop)
            said = _("Nothing more is bought at %(shop)s. You can bring it back here.") % name
            here = reverse("desk:shop", args=[shop.club.slug, shop.key])
            return Done(said, here, {"do": "back"})
        case "back":
            shop_bring_back(person, shop=shop)
            return _("%(shop)s is bought from again, at the prices below.") % name
        case "delete":
            shop_delete(person, shop=shop)
            return _("%(shop)s is deleted with its price list.") % name
        case _:
            changed = shop_change(person, shop=shop, terms=shop_terms_parse(form.values))
            return _("Terms saved.") if changed else _("Nothing differed: nothing is changed.")


def _terms_form(shop: Shop) -> FieldForm:
    free = shop.free_delivery_from_pence
    return FieldForm(
        {
            "name": shop.name,
            "delivery_fee": pence_format(shop.delivery_fee_pence),
            "minimum_spend": pence_format(shop.minimum_spend_pence),
            "free_delivery_from": "" if free is None else pence_format(free),
            "lead_days": str(shop.lead_days),
            "cut_off": f"{shop.cut_off:%H:%M}",
        }
    )


def desk_page(request: HttpRequest, name: str, club: Club, **context: object) -> HttpResponse:
    """A page of the club's shops and baits."""
    return render(
        request,
        f"desk/{name}.html",
        {
            "club": club,
            "currency": club.currency,
            "example_key": EXAMPLE_KEY,
            **context,
        },
    )
