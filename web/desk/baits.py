"""A club's baits: what each is called, counted in and weighs."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from bait.models import Bait, BaitFamily, BaitKind, Unit
from bait.reads.shops import bait_of, baits_of, club_kept
from bait.writes.baits import bait_add, bait_change, bait_delete, bait_packs_retire
from bait.writes.shop_content import bait_content_parse
from bait.writes.starters import baits_usual_add
from matches.models import Club
from matches.reckon.decimals import decimal_plain
from web.methods import shown_and_sent
from web.people import person_of

from .field_form import FieldForm, form_sent
from .form_act import form_act
from .shops import desk_page

FACTS = ("name", "kind", "unit", "density", "bag", "family", "dead")
CHOICES = {"kinds": BaitKind.choices, "units": Unit.choices, "families": BaitFamily.choices}


@login_required
@shown_and_sent
def baits(request: HttpRequest, slug: str) -> HttpResponse:
    """Every bait of the club, and a form for another."""
    club = club_kept(person_of(request), slug=slug)
    form = FieldForm({**dict.fromkeys(FACTS, ""), "kind": BaitKind.ANIMAL, "unit": Unit.PINT})
    if request.POST.get("do") == "usual":
        made = baits_usual_add(person_of(request), club=club)
        said = ngettext("%(n)d bait is added.", "%(n)d baits are added.", len(made))
        messages.success(request, said % {"n": len(made)})
        return redirect("desk:baits", club.slug)
    if request.method == "POST":
        form = form_sent(request.POST, names=FACTS)
        here = reverse("desk:baits", args=[club.slug])
        answer = form_act(
            request, form, lambda: _bait_add(request, club, form=form), here=here, onward=here
        )
        if answer is not None:
            return answer
    return desk_page(request, "baits", club, baits=baits_of(club), form=form, **CHOICES)


@login_required
@shown_and_sent
def bait(request: HttpRequest, slug: str, key: str) -> HttpResponse:
    """One bait: changed, its packs retired, deleted while nothing names it."""
    club = club_kept(person_of(request), slug=slug)
    found = bait_of(club, key=key)
    form = _form_kept(found)
    if request.method == "POST":
        form = form_sent(request.POST, names=FACTS)
        answer = form_act(
            request,
            form,
            lambda: _bait_act(request, found, form=form),
            here=reverse("desk:bait", args=[club.slug, found.key]),
            onward=reverse("desk:baits", args=[club.slug]),
        )
        if answer is not None:
            return answer
    return desk_page(request, "bait", club, bait=found, form=form, **CHOICES)


def _bait_add(request: HttpRequest, club: Club, *, form: FieldForm) -> str:
    bait = bait_add(person_of(request), club=club, content=bait_content_parse(form.values))
    return _("%(bait)s is added: shops can sell it now.") % {"bait": bait.name}


def _bait_act(request: HttpRequest, bait: Bait, *, form: FieldForm) -> str:
    """Do what was pressed; what to say of it."""
    person, name = person_of(request), {"bait": bait.name}
    match request.POST.get("do"):
        case "retire-packs":
            n = bait_packs_retire(person, bait=bait)
            return ngettext(
                "%(n)d pack of %(bait)s is retired. Bring it back on its shop’s page.",
                "%(n)d packs of %(bait)s are retired. Bring them back on their shops’ pages.",
                n,
            ) % {**name, "n": n}
        case "delete":
            bait_delete(person, bait=bait)
            return _("%(bait)s is deleted with its packs.") % name
        case _:
            content = bait_content_parse(form.values)
            changed = bait_change(person, bait=bait, content=content)
            return (
                _("%(bait)s is saved.") % name
                if changed
                else _("Nothing differed: nothing is changed.")
            )


def _form_kept(bait: Bait) -> FieldForm:
    density, bag = bait.bulk_density_kg_per_l, bait.bag_amount
    return FieldForm(
        {
            "name": bait.name,
            "kind": bait.kind,
            "unit": bait.unit,
            "density": "" if density is None else decimal_plain(density),
            "bag": "" if bag is None else decimal_plain(bag),
            "family": bait.family,
            "dead": "on" if bait.dead else "",
        }
    )
