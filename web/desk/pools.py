"""The secretary's page of a match's pools, and the one a new pool is set up on."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from matches.models import FISHING
from matches.reads import access
from matches.reads.prizes import settlement
from matches.reckon.errors import BadInput
from matches.reckon.pool_presets import PRESETS, PRESETS_BY_KEY, SOURCE
from matches.writes.pool_terms import FIELDS, pool_terms_parse, preset_typed
from matches.writes.pools import pool_add
from web.methods import shown_and_sent
from web.people import person_of

from .field_form import FieldForm, form_sent
from .pool_form import form_context


@login_required
@require_safe
def pools(request: HttpRequest, match_id: int) -> HttpResponse:
    """What each pool holds, was taken for it and pays, and the whole cash of the match."""
    match = access.match_for_secretary(person_of(request), match_id=match_id)
    return render(
        request,
        "desk/pools.html",
        {
            "club": match.club,
            "currency": match.club.currency,
            "match": match,
            "runs": True,
            "settled": settlement(match),
            "presets": PRESETS,
            "source": SOURCE,
        },
    )


@login_required
@shown_and_sent
def pool_new(request: HttpRequest, match_id: int) -> HttpResponse:
    """Set up a pool, from a preset or from nothing."""
    person = person_of(request)
    match = access.match_for_secretary(person, match_id=match_id)
    preset = PRESETS_BY_KEY.get(request.GET.get("preset", ""))
    form = FieldForm({**dict.fromkeys(FIELDS, ""), "who": "all", "won_by": "weight", "reason": ""})
    if request.method == "POST":
        form = form_sent(request.POST, names=(*FIELDS, "reason"))
        try:
            terms = pool_terms_parse(form.values)
            made = pool_add(person, match=match, terms=terms, reason=form.values["reason"])
        except BadInput as bad:
            form.faults_place(bad.faults)
            messages.error(request, _("Nothing is saved yet: mend what is marked."))
        else:
            messages.success(request, _("%(pool)s is set up.") % {"pool": made.name})
            return redirect("desk:pool", match_id, made.pk)
    elif preset is not None:
        entries = match.entries.filter(status__in=FISHING).count()
        sections = match.sections.count()
        form.values.update(
            preset_typed(preset, name=_(preset.name), entries=entries, sections=sections)
        )
    return render(
        request,
        "desk/pool_new.html",
        {
            **form_context(match, form),
            "preset": preset,
            "source": SOURCE,
            "started": timezone.now() >= match.start_at,
        },
    )
