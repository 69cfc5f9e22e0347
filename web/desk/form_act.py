"""What a form's button does: done and said, refused in words, or shown again with its faults."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect

from matches.problems import Code, Problem
from matches.reckon.errors import BadInput

from .field_form import FieldForm
from .undo import Done, done_say


def form_act(
    request: HttpRequest, form: FieldForm, act: Callable[[], str | Done], *, here: str, onward: str
) -> HttpResponse | None:
    """Do it, tell what it answers, and go `onward`; back `here` where it conflicts with how things
    stand. None where the form holds faults now and is to be shown again.

    Raises any Problem but a CONFLICT.
    """
    try:
        said = act()
    except BadInput as bad:
        form.faults_place(bad.faults)
        return None
    except Problem as problem:
        if problem.code is not Code.CONFLICT:
            raise
        messages.error(request, problem.detail)
        return redirect(here)
    done_say(request, said)
    return redirect(onward)


def refusal_say(request: HttpRequest, refused: Problem | BadInput) -> None:
    """A refusal as a message on the page it came from; a door that is shut stays a page."""
    if isinstance(refused, BadInput):
        for fault in refused.faults:
            messages.error(request, fault.message)
        return
    if refused.code in (Code.NOT_FOUND, Code.NOT_ALLOWED):
        raise refused
    messages.error(request, refused.detail)
