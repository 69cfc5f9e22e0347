"""The light a person chose for their screen."""

from __future__ import annotations

from django.utils.translation import gettext as _

from matches.models import Light, Person
from matches.problems import bad_field


def light_choose(person: Person, *, light: str) -> None:
    """Keep it on the account; "" is what each device asks for. Raises Problem BAD_INPUT at
    `/light`."""
    person.light = light_checked(light)
    person.save(update_fields=["light"])


def light_checked(light: str) -> str:
    """One of the lights, or "" for none. Raises Problem BAD_INPUT at `/light`."""
    if light and light not in Light.values:
        raise bad_field("/light", _("Choose day, sun or night, or leave it to the device."))
    return light
