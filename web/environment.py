"""How settings read the environment."""

from __future__ import annotations

import os
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured


def flag(name: str) -> bool:
    """Whether it is set to a word that says yes."""
    return os.environ.get(name, "").strip().lower() in {"1", "true", "yes", "on"}


def secret(name: str) -> str:
    """From the environment, or from the file that NAME_FILE names, whose last line end is none of
    it; "" where neither is set."""
    file = os.environ.get(f"{name}_FILE", "")
    if not file:
        return os.environ.get(name, "")
    if os.environ.get(name):
        raise ImproperlyConfigured(f"{name} and {name}_FILE are both set: leave one out.")
    try:
        return Path(file).read_text(encoding="utf-8").rstrip("\r\n")
    except OSError as error:
        raise ImproperlyConfigured(f"{name}_FILE cannot be read: {error}") from error


def secret_key(given: str, *, folder: Path) -> str:
    """The one given, or one made once and kept in `folder`, readable by us alone."""
    if given:
        if len(given) < 32:
            raise ImproperlyConfigured("SECRET_KEY is too short: use 50 random characters.")
        return given
    kept = folder / "secret_key"
    if not kept.exists():
        from django.core.management.utils import get_random_secret_key

        try:
            with os.fdopen(os.open(kept, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "w") as f:
                f.write(get_random_secret_key())
        except FileExistsError:
            pass
    return kept.read_text()
