"""Codes that let in once: how they are made, shown to people and read back as people type them."""

from __future__ import annotations

import re
import secrets

SIGNS = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"  # none that is read as another
LENGTH = 12


def once_code_new() -> str:
    """Twelve signs out of 32: 60 bits left to chance."""
    return "".join(secrets.choice(SIGNS) for _sign in range(LENGTH))


def once_code_shown(code: str) -> str:
    """In groups of four: "ABCD-EFGH-JKLM"."""
    return "-".join(re.findall("....", code))


def once_code_folded(typed: str) -> str:
    """A code as it was made, from what is typed: blanks, dashes and small letters are as good."""
    return re.sub(r"[^0-9A-Z]", "", typed.upper())
