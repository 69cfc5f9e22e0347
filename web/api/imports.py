"""A file looked at or imported by a program, as the desk does it."""

from __future__ import annotations

import base64
import binascii
import json
from collections.abc import Mapping
from typing import Any

from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _
from drf_spectacular.utils import extend_schema
from rest_framework.parsers import MultiPartParser
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from bait.reads.shops import club_kept
from matches.problems import Code, Problem, bad_field
from matches.reckon.errors import BadInput, Fault
from matches.reckon.sheets import Sheet, column_letter, sheet_read
from matches.reckon.sheets.sheet import MOST_BYTES
from web.imports.kinds import KINDS, Kind
from web.imports.look import Look, look_faults
from web.imports.steps import club_and_kind, columns_guess, file_import, file_look, task_of
from web.people import person_of
from web.problem_shapes import ProblemShape

from .shapes import list_of, object_of, one_of
from .strict_json import StrictJSONParser

TEXT = {"type": "string"}
WHOLE = {"type": "integer"}
ABOUT = "The id of the match or venue, or the key of the shop, that the file is about."
SEEN = "The `digest` of a look: nothing is written if the file would do something else by now."
COLUMNS = (
    "By the name of a column, what heads it in the file, or its letter where it has no head. Left "
    "out, it is as the club read such a file before, or else as the heads tell."
)
MAY = {
    "about": {**TEXT, "description": ABOUT},
    "do": {**one_of(["look", "import"]), "description": "Without it: look."},
    "seen": {**TEXT, "description": SEEN},
}
NEEDS = {"kind": one_of(list(KINDS))}
IN_JSON = object_of(
    {**NEEDS, "file": {**TEXT, "format": "byte", "description": "The file in base64."}},
    {**MAY, "columns": {"type": "object", "additionalProperties": TEXT, "description": COLUMNS}},
)
IN_PARTS = object_of(
    {**NEEDS, "file": {**TEXT, "format": "binary"}},
    {**MAY, "columns": {**TEXT, "description": f"{COLUMNS} An object in JSON."}},
)
DIFFERS = object_of({"column": TEXT, "before": TEXT, "after": TEXT})
ROW = object_of(
    {
        "row": WHOLE,
        "what": one_of(["changed", "new", "back", "same"]),
        "name": TEXT,
        "differs": list_of(DIFFERS),
    }
)
ANSWER = object_of(
    {
        "kind": TEXT,
        "imported": {"type": "boolean"},
        "digest": TEXT,
        "columns": {"type": "object", "additionalProperties": TEXT},
        "notes": list_of(TEXT),
        "counts": {"type": "object", "additionalProperties": WHOLE},
        "rows": list_of(ROW),
    }
)


class Imports(APIView):
    parser_classes = (MultiPartParser, StrictJSONParser)

    @extend_schema(
        operation_id="file_import",
        request={"application/json": IN_JSON, "multipart/form-data": IN_PARTS},
        responses={200: ANSWER, **dict.fromkeys((400, 401, 403, 404, 409), ProblemShape)},
    )
    def post(self, request: Request, club: str) -> Response:
        """Look at a file (CSV, XLSX), or import it. All of its rows are imported or none; each that
        cannot be is told, its pointer "/row/column". The same file again changes nothing."""
        person = person_of(request)
        club_kept(person, slug=club)
        sent = request.data if isinstance(request.data, Mapping) else {}
        found, kind = club_and_kind(person, slug=club, key=_kind(sent))
        raw = _file(sent)
        task = task_of(person, club=found, kind=kind, about=_text(sent, "about"))
        sheet = sheet_read(raw)
        columns = _columns(sent, kind, sheet)
        columns = columns_guess(task, sheet) if columns is None else columns
        do, seen = _text(sent, "do") or "look", _text(sent, "seen") or None
        if do not in ("look", "import"):
            raise bad_field("/do", _("Write look or import."))
        done = None
        if do == "import":
            look, done = file_import(task, sheet, columns, seen=seen)
        else:
            look = file_look(task, sheet, columns)
        if not look.readable:
            raise BadInput(*look_faults(look))
        if do == "import" and done is None:
            raise Problem(Code.CONFLICT, _("Something changed since: look at the file once more."))
        return Response(_body(kind, sheet, columns, look, imported=done is not None))


def _body(
    kind: Kind, sheet: Sheet, columns: Mapping[str, int], look: Look, *, imported: bool
) -> dict[str, Any]:
    return {
        "kind": kind.key,
        "imported": imported,
        "digest": look.digest,
        "columns": {name: _head(sheet, at) for name, at in columns.items()},
        "notes": list(look.notes),
        "counts": {what: n for what, n in look.counts.items() if what != "refused"},
        "rows": [
            {
                "row": row.row,
                "what": row.what,
                "name": row.name,
                "differs": [
                    {"column": column, "before": before, "after": after}
                    for column, before, after in row.differs
                ],
            }
            for row in look.rows
        ],
    }


def _head(sheet: Sheet, at: int) -> str:
    return sheet.heads[at] or column_letter(at + 1)


def _text(sent: Mapping[str, Any], name: str) -> str:
    value = sent.get(name, "")
    if not isinstance(value, str):
        raise bad_field(f"/{name}", _("Write this as a string."))
    return value


def _kind(sent: Mapping[str, Any]) -> str:
    kind = _text(sent, "kind")
    if kind not in KINDS:
        raise bad_field("/kind", _("Use one of: %s.") % ", ".join(KINDS))
    return kind


def _file(sent: Mapping[str, Any]) -> bytes:
    file = sent.get("file")
    if isinstance(file, UploadedFile):
        return bytes(file.read(MOST_BYTES + 1))
    if not isinstance(file, str) or not file:
        raise BadInput(Fault("/file", _("Send the file as a part of a form, or in base64.")))
    try:
        return base64.b64decode(file, validate=True)
    except (binascii.Error, ValueError) as error:
        raise BadInput(Fault("/file", _("This is not base64 (RFC 4648)."))) from error


def _columns(sent: Mapping[str, Any], kind: Kind, sheet: Sheet) -> dict[str, int] | None:
    """Where each named column stands; None where nothing was said."""
    said = sent.get("columns")
    if isinstance(said, str) and said:
        try:
            said = json.loads(said)
        except (ValueError, RecursionError) as error:
            raise bad_field("/columns", _("This is not JSON.")) from error
    if said in (None, ""):
        return None
    if not isinstance(said, Mapping):
        raise bad_field("/columns", _("Write an object: by the name of a column, its head."))
    heads = {_head(sheet, at): at for at in reversed(range(len(sheet.heads)))}
    known = {column.name for column in kind.columns}
    for name, head in said.items():
        if name not in known:
            raise bad_field("/columns", _("Columns are: %s.") % ", ".join(sorted(known)))
        if not isinstance(head, str) or head not in heads:
            raise bad_field("/columns", _("The heads of the file are: %s.") % ", ".join(heads))
    return {name: heads[head] for name, head in said.items()}
