"""What somebody types or sends who means no good, or whose keyboard does not."""

from __future__ import annotations

import copy
import json
from typing import Any

from hypothesis import strategies as st

#: For a form's field: characters no database holds, digits without end, words that turn others
#: round, formulas, paths, markup.
TYPED = (
    "", " ", "a\x00b", "\x1b[2J\x0b\x85\u2028", "9" * 5_000, "000000001" + "9" * 5_000, "-1", "-0",
    "1e400", "NaN", "Infinity", "²", "½", "١٢", "0x10", "1_000", "1,5", "9" * 19, str(2**63),
    "0001-01-01", "9999-12-31", "9999-12-31T23:59", "24:00", "2026-02-30", "x" * 20_000,
    "cafe\u0301", "caf\u00e9", "\u202egnp.exe", "a\u200bb\u200d", "\ufeffa", "\ud800", "\U0010ffff",
    "=1+1", "+1", "@SUM(A1)", "\t=1", "＝1", "../../../../etc/passwd", "..\\..\\x", "%2e%2e%2f",
    "<script>x</script>", "'; DROP TABLE matches_fact; --", "{{ 7*7 }}", "${7*7}",
    "a\r\nSet-Cookie: b=c",
    "00000000-0000-0000-0000-000000000000", "None", "null", "true", "on",
)  # fmt: skip
#: For a value in JSON, as it is written: what a parser may read in two ways, or not end reading.
WRITTEN = (
    "1e400", "-1e400", "1e-400", "-0", "-0.0", "NaN", "-Infinity", "1" + "0" * 5_000, str(2**63),
    '{"a":1,"a":2}', "[" * 5_000 + "]" * 5_000, '{"a":' * 2_000 + "1" + "}" * 2_000, "0.1e1", "1.0",
    "[]", "{}", "null", "true", '""', "[null]", '"\\ud800"', '"\\u0000"',
)  # fmt: skip
_MARK = "\x01written "


def typed() -> st.SearchStrategy[str]:
    any_text = st.text(max_size=60, alphabet=st.characters(exclude_categories=()))
    return st.one_of(st.sampled_from(TYPED), any_text, st.integers().map(str))


def values() -> st.SearchStrategy[Any]:
    """A JSON value, or a mark for one that `json_write` writes as it stands in WRITTEN."""
    plain = st.one_of(st.none(), st.booleans(), st.integers(), st.floats(allow_nan=False), typed())
    nested = st.recursive(
        plain, lambda one: st.lists(one, max_size=3) | st.dictionaries(typed(), one, max_size=3),
        max_leaves=5,
    )  # fmt: skip
    return st.one_of(st.sampled_from(WRITTEN).map(_MARK.__add__), nested)


def json_write(value: Any) -> bytes:
    text = json.dumps(value)
    for written in WRITTEN:
        text = text.replace(json.dumps(_MARK + written), written)
    return text.encode()


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The path to every value in it, its own first."""
    inner = value.items() if isinstance(value, dict) else ()
    inner = enumerate(value) if isinstance(value, list) else inner
    return [path, *(place for key, one in inner for place in places(one, (*path, key)))]


def changed(value: Any, path: tuple[Any, ...], to: Any, *, how: str) -> Any:
    """`value` with what stands at `path` put otherwise, left out, or with a key more beside it."""
    if not path:
        return to
    made = copy.deepcopy(value)
    at = made
    for key in path[:-1]:
        at = at[key]
    if how == "left out":
        del at[path[-1]]
    elif how == "beside" and isinstance(at, dict):
        at["".join(("not-", str(path[-1])))] = to
    else:
        at[path[-1]] = to
    return made
