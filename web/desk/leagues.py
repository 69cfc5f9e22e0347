"""The desk's pages of leagues: a club's list, one league as it stands, its rules, its rounds."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from matches.models import League
from matches.reads import access, league_board, leagues
from matches.reckon.errors import BadInput, Fault
from matches.writes.leagues import (
    league_delete,
    league_edit,
    league_make,
    league_rounds_set,
    rounds_stand,
    rules_stand,
)
from web.board.league_shown import table_shown
from web.league_words import because_words, rules_words
from web.methods import shown_and_sent
from web.people import person_of

from .club_page import club_page
from .field_form import FieldForm, form_sent, mark_shown
from .form_act import form_act
from .form_numbers import whole_typed
from .league_form import (
    NAMES,
    PRESETS,
    at_its_field,
    choices,
    form_of_league,
    league_form,
    rules_typed,
)


@login_required
@require_safe
def club(request: HttpRequest, slug: str) -> HttpResponse:
    """The club's leagues."""
    person = person_of(request)
    found = leagues.club_of_leagues(person, slug=slug)
    return club_page(
        request,
        "leagues",
        found,
        leagues=leagues.leagues_of(found),
        runs=access.is_secretary(person, club=found),
    )


@login_required
@shown_and_sent
def new(request: HttpRequest, slug: str) -> HttpResponse:
    """Make a league, from a usual set of rules."""
    person = person_of(request)
    found = access.club_for_secretary(person, slug=slug)
    chosen = request.GET.get("like", "all")
    preset = PRESETS.get(chosen, PRESETS["all"])
    form = league_form(preset.rules)
    if request.method == "POST":
        form = form_sent(request.POST, names=NAMES)
        try:
            league = at_its_field(
                lambda: league_make(
                    person,
                    club=found,
                    name=form.values["name"],
                    of=form.values["of"],
                    rules=rules_typed(form.values),
                )
            )
        except BadInput as bad:
            form.faults_place(bad.faults)
        else:
            return redirect("desk:league-rounds", found.slug, league.slug)
    return club_page(
        request,
        "league_new",
        found,
        form=form,
        choices=choices(),
        presets=[(key, p, key == chosen) for key, p in PRESETS.items()],
    )


@login_required
@require_safe
def league(request: HttpRequest, slug: str, key: str) -> HttpResponse:
    """One league: its table as it stands, its rounds, and every table so far."""
    person = person_of(request)
    found = leagues.league_seen(person, club=slug, slug=key)
    tables = league_board.tables_of(found)
    shown = {}
    if tables:
        body = league_board.table_public(found).body
        ids = (row["id"] for row in body["table"])
        shown = table_shown(body, hidden=league_board.seasons_hidden(found, ids))
    return club_page(
        request,
        "league",
        found.club,
        league=found,
        of=found.club,
        runs=access.is_secretary(person, club=found.club),
        zone=league_board.league_zone(found),
        tables=[{**t, "said": because_words(t["because"], first=t["number"] == 1)} for t in tables],
        set_rounds=leagues.rounds_of(found),
        **{"rules": rules_words(found.rules, of=found.of), **shown},
    )


@login_required
@shown_and_sent
def rules(request: HttpRequest, slug: str, key: str) -> HttpResponse:
    """Change a league's name and rules."""
    person = person_of(request)
    found = leagues.league_for_secretary(person, club=slug, slug=key)
    form = form_of_league(found)
    if request.method == "POST":
        form = form_sent(request.POST, names=NAMES)
        form.values["of"] = found.of

        def act() -> str:
            at_its_field(
                lambda: league_edit(
                    person,
                    league=found,
                    name=form.values["name"],
                    rules=rules_typed(form.values),
                    reason=form.values["reason"],
                    mark=request.POST.get("mark", ""),
                )
            )
            return _("Saved. The table is worked out by these rules.")

        done = form_act(request, form, act, here=request.path, onward=_at(found))
        if done is not None:
            return done
    return club_page(
        request,
        "league_rules",
        found.club,
        league=found,
        form=form,
        mark=mark_shown(request.POST, stands=rules_stand(found), told=form.told),
        choices=choices(),
        published=found.tables.exists(),
    )


@login_required
@shown_and_sent
def rounds(request: HttpRequest, slug: str, key: str) -> HttpResponse:
    """Which matches are the rounds, and in what order: a number at each."""
    person = person_of(request)
    found = leagues.league_for_secretary(person, club=slug, slug=key)
    offered = list(leagues.matches_offered(found))
    names = [*(f"round-{m.pk}" for m in offered), "reason"]
    set_now = {r.match_id: str(r.number) for r in found.rounds.all()}
    form = FieldForm({**{f"round-{m.pk}": set_now.get(m.pk, "") for m in offered}, "reason": ""})
    if request.method == "POST":
        form = form_sent(request.POST, names=names)

        def act() -> str:
            order = _order_typed(form)
            try:
                league_rounds_set(
                    person,
                    league=found,
                    matches=order,
                    reason=form.values["reason"],
                    mark=request.POST.get("mark", ""),
                )
            except BadInput as bad:
                raise BadInput(*(_at_its_match(f, order) for f in bad.faults)) from None
            return _("The rounds are set.")

        done = form_act(request, form, act, here=request.path, onward=_at(found))
        if done is not None:
            return done
    rows = [
        {"match": m, "name": name, "value": form.values[name], "fault": form.faults.get(name)}
        for m in offered
        for name in [f"round-{m.pk}"]
    ]
    return club_page(
        request,
        "league_rounds",
        found.club,
        league=found,
        form=form,
        mark=mark_shown(request.POST, stands=rounds_stand(found), told=form.told),
        rows=rows,
        published=found.tables.exists(),
    )


@login_required
@require_POST
def delete(request: HttpRequest, slug: str, key: str) -> HttpResponse:
    """Take away a league that was made by mistake."""
    person = person_of(request)
    found = leagues.league_for_secretary(person, club=slug, slug=key)

    def act() -> str:
        league_delete(person, league=found)
        return _("The league is gone.")

    onward = reverse("desk:leagues", args=[found.club.slug])
    done = form_act(request, FieldForm({}), act, here=_at(found), onward=onward)
    return done or redirect(onward)


def _order_typed(form: FieldForm) -> list[int]:
    """The matches by the numbers typed at them. Raises BadInput at what is no number, or twice."""
    numbers: dict[int, int] = {}
    faults = []
    for name, text in form.values.items():
        text = text.strip()
        if name == "reason" or not text:
            continue
        number = whole_typed(text)
        if number is None or not 1 <= number <= 100:
            faults.append(Fault(f"/{name}", _("Write the round's number, 1 to 100, or nothing.")))
        elif number in numbers:
            faults.append(
                Fault(f"/{name}", _("Round %(n)s stands twice: number them apart.") % {"n": number})
            )
        else:
            numbers[number] = int(name.removeprefix("round-"))
    if faults:
        raise BadInput(*faults)
    return [numbers[n] for n in sorted(numbers)]


def _at_its_match(fault: Fault, order: list[int]) -> Fault:
    index = fault.pointer.removeprefix("/matches/")
    if not index.isdigit():
        return fault
    return Fault(f"/round-{order[int(index)]}", fault.message)


def _at(league: League) -> str:
    return reverse("desk:league", args=[league.club.slug, league.slug])
