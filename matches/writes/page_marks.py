"""A mark on a page of what stood when it was opened, so that an old page takes nothing back."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping

from django.utils.translation import gettext as _

from matches.reckon.errors import BadInput, Fault


def page_mark(stands: Mapping[str, str]) -> str:
    """A short mark of what stands, as it is typed: another one once any of it changed."""
    said = json.dumps(dict(stands), sort_keys=True)
    return hashlib.sha256(said.encode()).hexdigest()[:16]


def mark_check(mark: str, *, stands: Mapping[str, str]) -> None:
    """Refuse what was typed on a page older than what stands; call it behind the lock.

    No mark is no page, as from a command. Raises BadInput, at /mark.
    """
    if mark and mark != page_mark(stands):
        said = _(
            "Somebody changed this after you opened the page. What you typed is still here: "
            "compare it with what stands, in a new tab, then save again."
        )
        raise BadInput(Fault("/mark", said))
