"""A new password in a form, typed twice and held against the rules."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from matches.problems import Problem

from .password_rules import SIGNS_LEAST, SIGNS_MOST

NEW_HELP = gettext_lazy(
    "At least twelve characters, blanks count: three or four words do well. Nothing that everybody "
    "takes."
)

#: What the words beside a new password go by, in the browser (`password-meter.js`).
METER: dict[str, Any] = {"data-least": SIGNS_LEAST, "data-most": SIGNS_MOST}


def password_field(label: Any, *, new: bool, help_text: Any = "") -> forms.CharField:
    """What is typed is taken as it is; a browser may fill it in."""
    widget = forms.PasswordInput({"autocomplete": "new-password" if new else "current-password"})
    if new and help_text:
        widget.attrs |= METER
    return forms.CharField(
        label=label, strip=False, widget=widget, help_text=help_text, max_length=1000
    )


class PasswordForm(forms.Form):
    """The two fields of a new password."""

    password = password_field(gettext_lazy("New password"), new=True, help_text=NEW_HELP)
    again = password_field(gettext_lazy("The new password once more"), new=True)

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or self.cleaned_data
        password = typed.get("password")
        if password and "again" in typed and typed["again"] != password:
            self.add_error("again", _("The two are not the same: type it twice alike."))
        if password:
            try:
                validate_password(password)
            except ValidationError as error:
                self.add_error("password", error)
        return typed

    def refused(self, problem: Problem) -> None:
        """Put what was refused at the fields it is of."""
        for fault in problem.faults:
            name = fault.pointer.strip("/")
            self.add_error(name if name in self.fields else None, str(fault.message))
        if not problem.faults:
            self.add_error(None, problem.detail)
