"""The shell's modules as phones get them: without comments and the spaces that only people need.

The words of the language stay as they are and each on its line, so the browser runs what was
written, and a fault names its line's words.
"""

from __future__ import annotations

import re
from functools import lru_cache

import tree_sitter_javascript
from tree_sitter import Language, Parser, Query, QueryCursor

JAVASCRIPT = Language(tree_sitter_javascript.language())
# What a space belongs to stays whole, markup in templates included.
PARTS = Query(JAVASCRIPT, "(comment) @gone [(string) (template_string) (regex)] @whole")
LINES = re.compile(rb"\s*\n\s*")
# Between two words a space parts them, and between two signs: `a - -b`.
SPACES = re.compile(rb"(?<![\w$+/ -]) +| +(?![\w$+/-])")


@lru_cache(maxsize=256)
def small(source: bytes) -> bytes:
    """`source`, one JavaScript module in UTF-8, made small. Raises ValueError if it is not one."""
    root = Parser(JAVASCRIPT).parse(source).root_node
    if root.has_error:
        raise ValueError("This is no JavaScript module.")
    found = QueryCursor(PARTS).captures(root)
    parts = [(node.start_byte, node.end_byte, name) for name in found for node in found[name]]
    made, code, end = [], b"", 0
    for start, stop, name in sorted(parts):
        if start < end:  # Inside a template.
            continue
        code += source[end:start]
        if name == "whole":
            made += [_tight(code), source[start:stop]]
            code = b""
        else:
            code += b" "
        end = stop
    return b"".join([*made, _tight(code + source[end:])]).lstrip()


def _tight(code: bytes) -> bytes:
    return SPACES.sub(b"", LINES.sub(b"\n", code))
