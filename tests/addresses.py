"""Every address of the site, by the names its own tables of addresses give."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from django.urls import URLPattern, get_resolver, reverse

#: What is asked for besides the path.
ASKED = {"api:sync-facts": "?match={match_id}"}


def patterns(found: Any = None, space: str = "", parts: tuple[str, ...] = ()) -> Iterator[Any]:
    """The full name of every address but the admin's, and the parts it is made of."""
    for one in get_resolver().url_patterns if found is None else found:
        own = (*parts, *one.pattern.converters)
        if isinstance(one, URLPattern):
            yield f"{space}{one.name}", own
        elif one.namespace != "admin":
            inner = f"{one.namespace}:" if one.namespace else space
            yield from patterns(one.url_patterns, inner, own)


def addresses(known: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """Name and address of everything, made of these parts."""
    for name, parts in patterns():
        given = {part: known[part] for part in parts if part != "key"}
        if "key" in parts:
            given["key"] = known[f"key of {re.split('[:-]', name)[1]}"]
        yield name, reverse(name, kwargs=given) + ASKED.get(name, "").format(**known)
