"""The page of a match's bait limits: anybody of the club reads them, its secretary sets them."""

from __future__ import annotations

from collections.abc import Mapping

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from bait.models import Bait, LimitForm, LimitUse
from bait.reads.baits import baits_of_club
from bait.reads.limits import match_rules
from bait.reckon.limit_presets import PRESETS, PRESETS_BY_KEY
from bait.writes.limits import LimitsRaw, limits_raw, limits_save, limits_version, preset_raw
from matches.models import Match
from matches.problems import Code, Problem
from matches.reads import access
from matches.reckon.errors import BadInput
from web.methods import shown_and_sent
from web.people import person_of

from .limit_form import LimitsForm, form_of_limits, form_sent, of_choices


@login_required
@shown_and_sent
def limits(request: HttpRequest, match_id: int) -> HttpResponse:
    """Read the limits; the secretary edits them, takes a preset, forbids a bait, or undoes it."""
    person = person_of(request)
    if request.method != "POST":
        match = access.match_seen(person, match_id=match_id)
        raw = limits_raw(match)
        form = form_of_limits(raw, version=limits_version(raw))
        return _page(request, form, match=match, runs=access.is_secretary(person, club=match.club))
    match = access.match_for_secretary(person, match_id=match_id)
    baits = baits_of_club(match.club_id)
    form = form_sent(request.POST)
    action = request.POST.get("do", "save")
    if form.edit(action, ban=baits.get(request.POST.get("ban", ""))):
        return _page(request, form, match=match, runs=True, sent=True)
    wanted = _wanted(request, form, match=match, action=action)
    if wanted is not None and _saved(request, form, match=match, raw=wanted):
        return redirect("desk:limits", match_id)
    return _page(request, form, match=match, runs=True, sent=True)


def _wanted(
    request: HttpRequest, form: LimitsForm, *, match: Match, action: str
) -> LimitsRaw | None:
    """What the limits are to become; None for an action there is not."""
    if action == "undo":
        kept = _undo(request, match=match)
        return kept["before"] if kept else None
    preset = PRESETS_BY_KEY.get(action.removeprefix("preset-"))
    if preset is not None:
        return preset_raw(preset)
    if action != "save":
        return None
    form.trim()
    return form.as_raw()


def _saved(request: HttpRequest, form: LimitsForm, *, match: Match, raw: LimitsRaw) -> bool:
    """Whether they were saved; if not, the form says why and keeps everything typed."""
    try:
        before, after = limits_save(person_of(request), match=match, raw=raw, version=form.version)
    except BadInput as bad:
        form.faults_place(bad.faults)
        messages.error(request, _("Nothing is saved yet: mend what is marked, then save again."))
        return False
    except Problem as problem:
        if problem.code is not Code.CONFLICT:
            raise
        form.faults["version"] = problem.detail
        return False
    request.session[_undo_key(match)] = {"before": before, "after": limits_version(after)}
    messages.success(request, _("The limits are saved. Plans are judged by them from now on."))
    if _source_left(before, after):
        messages.info(
            request, _("Figures changed and their source did not: see that it still says so.")
        )
    return True


def _source_left(before: LimitsRaw, after: LimitsRaw) -> bool:
    """Whether a figure changed while the source beside it stayed."""
    held = {part["name"]: part for part in before["parts"]}
    pairs = [(held[part["name"]], part) for part in after["parts"] if part["name"] in held]
    figures = ("groundbait_l", "bait_l", "allowed_l")
    return any(
        new["source"] and new["source"] == old["source"] and old.get(key) != new.get(key)
        for old, new in [(before, after), *pairs]
        for key in figures
    )


def _undo_key(match: Match) -> str:
    return f"limits-undo-{match.pk}"


def _undo(request: HttpRequest, *, match: Match) -> dict[str, LimitsRaw] | None:
    """What this person's last change can be undone to, while nobody changed the limits since."""
    kept = request.session.get(_undo_key(match))
    return kept if kept and kept["after"] == limits_version(limits_raw(match)) else None


def _page(
    request: HttpRequest, form: LimitsForm, *, match: Match, runs: bool, sent: bool = False
) -> HttpResponse:
    baits: Mapping[str, Bait] = baits_of_club(match.club_id)
    return render(
        request,
        "desk/limits.html",
        {
            "club": match.club,
            "match": match,
            "runs": runs,
            "form": form,
            "unsaved": sent,
            "rules": match_rules(match),
            "undo": runs and not sent and _undo(request, match=match) is not None,
            "newer": limits_version(limits_raw(match)) if "version" in form.faults else "",
            "baits": list(baits.values()),
            "of_choices": of_choices(baits),
            "uses": LimitUse.choices,
            "forms": LimitForm.choices,
            "presets": PRESETS,
        },
    )
