"""What happens at the door, a line of the log each: so that who runs the site can look into it."""

from __future__ import annotations

import logging

log = logging.getLogger("drawbag.door")


def door_told(what: str, *, person: int | None = None) -> None:
    """Log `what` happened, to the account of that number if it is known. No name that was typed
    goes into `what`: it may be a password in the wrong field."""
    log.info("%s: person %s", what, "not known" if person is None else person)
