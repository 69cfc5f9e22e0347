"""Anglers offered in a field that chooses one."""

from __future__ import annotations

from collections.abc import Iterable

from django.utils.translation import gettext as _

from matches.models import Angler


def angler_choices(anglers: Iterable[Angler]) -> list[tuple[str, str]]:
    """Each by its key and name, behind a first that is no choice; nothing where there is nobody."""
    offered = [(str(one.pk), one.name) for one in anglers]
    return [("", _("Choose")), *offered] if offered else []
