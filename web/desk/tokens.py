"""A person's own tokens for programs: made, shown once, revoked."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache

from matches.models import Scope
from matches.problems import Problem
from matches.reads.api_tokens import api_tokens_good, api_tokens_of
from matches.reckon.errors import BadInput
from matches.writes.api_tokens import api_token_make, api_token_revoke
from web.methods import shown_and_sent
from web.people import person_of

from .field_form import FieldForm, form_sent
from .form_act import refusal_say
from .form_numbers import number_or_none, whole_typed

DAYS = "90"


@never_cache
@login_required
@shown_and_sent
def tokens(request: HttpRequest) -> HttpResponse:
    """The tokens. A new one is shown in the answer to its form and never again."""
    form = _blank()
    chosen, secret = request.POST.getlist("scopes"), ""
    if request.method == "POST":
        if "token" in request.POST:
            return _revoke(request)
        form = form_sent(request.POST, names=("name", "days", "scopes"))
        secret = _make(request, form)
        if secret:
            form, chosen = _blank(), []
    person = person_of(request)
    good = {token.pk for token in api_tokens_good(person)}
    return render(
        request,
        "desk/tokens.html",
        {
            "form": form,
            "secret": secret,
            "chosen": chosen,
            "scopes": Scope.choices,
            "tokens": [(token, token.pk in good) for token in api_tokens_of(person)],
            "now": timezone.now(),
        },
    )


def _blank() -> FieldForm:
    return FieldForm({"name": "", "days": DAYS, "scopes": ""})


def _make(request: HttpRequest, form: FieldForm) -> str:
    """The text of the new token; empty where the form holds faults now, or it was refused."""
    try:
        _token, secret = api_token_make(
            person_of(request),
            name=form.values["name"],
            scopes=request.POST.getlist("scopes"),
            days=whole_typed(form.values["days"]) or 0,
        )
    except BadInput as bad:
        form.faults_place(bad.faults)
        return ""
    except Problem as refused:
        refusal_say(request, refused)
        return ""
    return secret


def _revoke(request: HttpRequest) -> HttpResponse:
    number = number_or_none(request.POST["token"]) or 0
    token = api_token_revoke(person_of(request), token_id=number)
    messages.success(
        request, _("“%(name)s” is revoked. No program signs in with it any more.") % {"name": token}
    )
    return redirect("desk:tokens")
