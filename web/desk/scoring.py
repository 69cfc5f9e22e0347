"""The page of how a match is scored: presets with their source, and every rule one by one."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from matches.models import Match, NetCapRule, ScoredBy, WeightUnit
from matches.reads import access
from matches.reckon.errors import BadInput
from matches.reckon.scheme_presets import PRESETS, PRESETS_BY_KEY, preset_of
from matches.writes.match_scoring import (
    FIELDS,
    match_scoring_set,
    scoring_parse,
    scoring_typed,
    weights_came,
)
from web.methods import shown_and_sent
from web.people import person_of

from .field_form import FieldForm, form_sent, mark_shown

#: Each rule of a scheme: what it is about, and its choices in plain words.
RULES = (
    (
        "direction",
        gettext_lazy("Who wins"),
        (
            ("low", gettext_lazy("the lowest total: points are the place")),
            ("high", gettext_lazy("the highest total: points go up with the place")),
        ),
    ),
    (
        "ties",
        gettext_lazy("Equal weights"),
        (
            ("average", gettext_lazy("share the places they fill: two fifths are 5.5 each")),
            ("same_best", gettext_lazy("all get the best of the places they fill")),
            ("same_worst", gettext_lazy("all get the worst of the places they fill")),
        ),
    ),
    (
        "blank",
        gettext_lazy("Fished and weighed nothing"),
        (
            ("average_of_left", gettext_lazy("share the places that are left")),
            ("last_plus_one", gettext_lazy("one place behind the last who weighed in")),
            ("size", gettext_lazy("the last place of the section")),
            ("size_plus_one", gettext_lazy("one more than the section has anglers")),
            ("one", gettext_lazy("one point (points up only)")),
            ("zero", gettext_lazy("no points (points up only)")),
        ),
    ),
    (
        "absent",
        gettext_lazy("Absent or disqualified"),
        (
            ("size_plus_one", gettext_lazy("one more than the section has anglers")),
            ("size_plus_two", gettext_lazy("two more than the section has anglers")),
            ("size", gettext_lazy("the last place of the section")),
            ("zero", gettext_lazy("no points (points up only)")),
        ),
    ),
)
TIE_BREAKS = (
    ("", gettext_lazy("nothing more")),
    ("weight", gettext_lazy("the greater weight of the team")),
    ("best_place", gettext_lazy("the better best place of one angler")),
    ("best_weight", gettext_lazy("the greater weight of one angler")),
)


@login_required
@shown_and_sent
def scoring(request: HttpRequest, match_id: int) -> HttpResponse:
    """Read the scoring; the secretary starts from a preset, changes any rule, and saves."""
    person = person_of(request)
    if request.method != "POST":
        match = access.match_seen(person, match_id=match_id)
        runs = access.is_secretary(person, club=match.club)
        return _page(request, match, FieldForm(scoring_typed(match)), runs=runs)
    match = access.match_for_secretary(person, match_id=match_id)
    form = form_sent(request.POST, names=FIELDS)
    preset = PRESETS_BY_KEY.get(request.POST.get("do", "").removeprefix("preset-"))
    if preset is not None:
        form.values.update({key: rule or "" for key, rule in preset.rules.items()})
        messages.info(request, _("The rules are filled in below. Save the scoring to keep them."))
        return _page(request, match, form, runs=True, unsaved=True)
    try:
        mark = request.POST.get("mark", "")
        changed = match_scoring_set(
            person, match=match, scoring=scoring_parse(form.values), mark=mark
        )
    except BadInput as bad:
        form.faults_place(bad.faults)
        messages.error(request, _("Nothing is saved yet: mend what is marked, then save again."))
        return _page(request, match, form, runs=True, unsaved=True)
    if changed:
        messages.success(request, _("The scoring is saved."))
        if match.bulletins.exists():
            messages.warning(
                request, _("A result is out: publish it again, and say why it is scored anew.")
            )
    else:
        messages.info(request, _("Nothing differed: nothing is changed."))
    if match.section_pegs.exists():
        return redirect("desk:scoring", match_id)
    messages.info(request, _("Next: its pegs and sections."))
    return redirect("desk:match-pegs", match_id)


def _page(
    request: HttpRequest,
    match: Match,
    form: FieldForm,
    *,
    runs: bool,
    unsaved: bool = False,
) -> HttpResponse:
    breaks = [f"break-{n}" for n in (1, 2, 3)]
    return render(
        request,
        "desk/scoring.html",
        {
            "club": match.club,
            "match": match,
            "runs": runs,
            "form": form,
            "unsaved": unsaved,
            "held": preset_of(match.scheme),
            "presets": PRESETS,
            "rules": [(*rule, *_said(form, rule[0])) for rule in RULES],
            "breaks": [(key, *_said(form, key)) for key in breaks],
            "tie_breaks": TIE_BREAKS,
            "units": WeightUnit.choices,
            "cap_rules": NetCapRule.choices,
            "scored_by": ScoredBy.choices,
            "mark": mark_shown(request.POST, stands=scoring_typed(match), told=form.told),
            "weights_came": weights_came(match),
        },
    )


def _said(form: FieldForm, key: str) -> tuple[str, str]:
    """What is typed in a field, and its fault."""
    return form.values[key], form.faults.get(key, "")
