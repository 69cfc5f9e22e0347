"""The page on which an angler measures their pinch, handful and pouch."""

from __future__ import annotations

from dataclasses import dataclass, field

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from bait.models import Throw
from bait.reads.baits import baits_of_club
from bait.reads.plans import entry_for_plan, own_entry_of
from bait.reads.throw_sizes import throw_sizes_of, throws_known
from bait.writes.throw_sizes import throw_forget, throw_measure
from matches.models import Entry
from matches.problems import Code, Problem
from matches.reckon.decimals import decimal_plain
from matches.reckon.errors import BadInput
from web.methods import shown_and_sent
from web.people import person_of

from .form_numbers import whole_typed


@dataclass
class ThrowForm:
    """What was typed, and what is wrong with it."""

    throw: str = "pouch"
    bait: str = ""
    cup_ml: str = "250"
    throws: str = ""
    faults: dict[str, str] = field(default_factory=dict)


@login_required
@shown_and_sent
def my_throws(request: HttpRequest, match_id: int) -> HttpResponse:
    """One's own throws."""
    entry = own_entry_of(person_of(request), match_id=match_id)
    return _throws(request, entry=entry, own=True)


@login_required
@shown_and_sent
def member_throws(request: HttpRequest, match_id: int, entry_id: int) -> HttpResponse:
    """A member's throws, for their captain."""
    person = person_of(request)
    entry = entry_for_plan(person, match_id=match_id, entry_id=entry_id)
    return _throws(request, entry=entry, own=entry.angler.person_id == person.pk)


def _throws(request: HttpRequest, *, entry: Entry, own: bool) -> HttpResponse:
    form = ThrowForm()
    if request.method == "POST":
        if "forget" in request.POST:
            _forget(request, entry=entry, text=request.POST["forget"])
            return redirect(request.path)
        typed = request.POST
        form = ThrowForm(
            throw=typed.get("throw", ""),
            bait=typed.get("bait", ""),
            cup_ml=typed.get("cup_ml", ""),
            throws=typed.get("throws", ""),
        )
        if _measure(request, form, entry=entry):
            return redirect(request.path)
    sizes = throw_sizes_of(entry)
    context = {
        "club": entry.match.club,
        "match": entry.match,
        "entry": entry,
        "own": own,
        "form": form,
        "kinds": Throw.choices,
        "baits": baits_of_club(entry.match.club_id).values(),
        "sizes": sizes,
        "known": throws_known(sizes),
    }
    return render(request, "desk/throws.html", context)


def _measure(request: HttpRequest, form: ThrowForm, *, entry: Entry) -> bool:
    """Whether the size was kept; if not, the form says why."""
    try:
        size = throw_measure(
            person_of(request),
            entry=entry,
            throw=form.throw,
            bait=form.bait,
            # 0 is always refused.
            cup_ml=whole_typed(form.cup_ml) or 0,
            throws=whole_typed(form.throws) or 0,
        )
    except BadInput as bad:
        for fault in bad.faults:
            form.faults.setdefault(fault.pointer.removeprefix("/"), fault.message)
        return False
    words = _("Kept: a %(throw)s is %(ml)s ml now. Plans count with it from here on.")
    said = {"throw": size.get_throw_display(), "ml": decimal_plain(size.ml)}
    messages.success(request, words % said)
    return True


def _forget(request: HttpRequest, *, entry: Entry, text: str) -> None:
    try:
        size = throw_forget(person_of(request), entry=entry, size_id=whole_typed(text) or 0)
    except Problem as problem:
        if problem.code is not Code.NOT_FOUND:
            raise
        messages.error(request, problem.detail)
        return
    words = _("Forgotten: a %(throw)s was %(ml)s ml. Measure it again to have it back.")
    said = {"throw": size.get_throw_display(), "ml": decimal_plain(size.ml)}
    messages.success(request, words % said)
