"""The language one is spoken to in, for anybody; and for who is signed in, the measures too."""

from __future__ import annotations

from django import forms
from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render, resolve_url
from django.utils import translation
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.cache import never_cache

from matches.models import Measures
from matches.writes.choices import choices_set
from web.methods import shown_and_sent
from web.people import person_of
from web.speaking import language_keep


class LanguageForm(forms.Form):
    language = forms.ChoiceField(
        label=gettext_lazy("Language"),
        required=False,
        choices=[("", gettext_lazy("As the browser asks")), *settings.LANGUAGES],
    )


class ChoicesForm(LanguageForm):
    measures = forms.ChoiceField(
        label=gettext_lazy("Amounts, weights and lengths"),
        help_text=gettext_lazy(
            "What a match weighs in and what shops sell in stays as it is; the other measure is "
            "said beside it, and nothing is rounded that is bought or stored."
        ),
        choices=Measures.choices,
    )


@never_cache
@shown_and_sent
def choices(request: HttpRequest) -> HttpResponse:
    """Asked with `next`, it leads back there."""
    form = _form(request)
    if request.method != "POST" or not form.is_valid():
        found = {"form": form, "next": _next(request)}
        return render(request, "language.html", found)
    language = form.cleaned_data["language"]
    if request.user.is_authenticated:
        measures = form.cleaned_data["measures"]
        choices_set(person_of(request), language=language, measures=measures)
    with translation.override(language or translation.get_language()):
        messages.success(request, _("Chosen."))
    response = HttpResponseRedirect(_next(request) or resolve_url("home"))
    language_keep(response, language)
    return response


def _form(request: HttpRequest) -> LanguageForm:
    if not request.user.is_authenticated:
        kept = {"language": request.COOKIES.get(settings.LANGUAGE_COOKIE_NAME, "")}
        return LanguageForm(request.POST or None, initial=kept)
    person = person_of(request)
    kept = {"language": person.language, "measures": person.measures}
    return ChoicesForm(request.POST or None, initial=kept)


def _next(request: HttpRequest) -> str:
    """A page of this site, or ""."""
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    safe = url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return wanted if safe else ""
