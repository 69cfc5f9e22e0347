"""A file looked at first and imported with a second tap: its text is kept, signed, in the page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from django.core import signing
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest
from django.utils.translation import gettext as _

from matches.reckon.cells import MOST_BYTES, cells_decode, fault_place
from matches.reckon.errors import BadInput, Fault

SALT = "drawbag.file-kept"
KEPT_SECONDS = 24 * 3600
# What a hidden field may hold, so that the whole form stays below the limit of a body.
KEPT_MOST = 900_000
FAULTS_SHOWN = 100


@dataclass(frozen=True, slots=True)
class FileSent:
    """A file's text, and which rows were offered for retiring when it was looked at."""

    text: str
    gone: list[int]


def file_sent(request: HttpRequest, *, owner: str) -> FileSent:
    """The chosen file, or the one kept from the first step. Raises BadInput.

    `owner` says whose list it is: a file kept for another is refused.
    """
    sent = request.FILES.get("file")
    if isinstance(sent, UploadedFile):
        if (sent.size or 0) > MOST_BYTES:
            raise BadInput(Fault("", _("The file is larger than 1 MiB: send it in parts.")))
        return FileSent(cells_decode(sent.read()), [])
    if not request.POST.get("list"):
        raise BadInput(Fault("", _("Choose the file first.")))
    try:
        kept = signing.loads(request.POST["list"], salt=SALT, max_age=KEPT_SECONDS)
    except signing.BadSignature as error:
        raise BadInput(
            Fault("", _("The list was kept for a day only, or changed: choose the file again."))
        ) from error
    if kept["owner"] != owner:
        raise BadInput(Fault("", _("That list was not for this page: choose the file again.")))
    return FileSent(kept["text"], kept["gone"])


def file_keep(*, owner: str, text: str, gone: list[int]) -> str:
    """The file as a signed text for the second step; nothing where it would be too long."""
    kept = signing.dumps({"owner": owner, "text": text, "gone": gone}, salt=SALT, compress=True)
    return kept if len(kept) <= KEPT_MOST else ""


def ticked_to_retire(request: HttpRequest, gone: Sequence[int]) -> set[int]:
    """What was ticked, and nothing that was not offered; "all" is all that was."""
    ticked = set(request.POST.getlist("retire"))
    return set(gone) if "all" in ticked else {pk for pk in gone if str(pk) in ticked}


class Imported(Protocol):
    """How many rows an import made, changed, brought back and retired."""

    @property
    def new(self) -> int: ...
    @property
    def changed(self) -> int: ...
    @property
    def back(self) -> int: ...
    @property
    def retired(self) -> int: ...


def imported_said(done: Imported) -> str:
    """What an import did, in words."""
    return _(
        "Imported: %(new)d new, %(changed)d changed, %(back)d brought back, %(retired)d retired."
    ) % {
        "new": done.new,
        "changed": done.changed,
        "back": done.back,
        "retired": done.retired,
    }


def faults_told(faults: Sequence[Fault]) -> dict[str, Any]:
    """What a page says of a file's faults: the first of them by place, and how many `more`."""
    return {
        "faults": [(*fault_place(fault), fault.message) for fault in faults[:FAULTS_SHOWN]],
        "more": max(0, len(faults) - FAULTS_SHOWN),
    }
