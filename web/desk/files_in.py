"""Files that come in: chosen, their columns matched, looked at, imported with one press."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from bait.reads.shops import club_kept
from matches.models import ImportFile, ImportKind
from matches.problems import Code, Problem
from matches.reads.access import clubs_of, is_secretary
from matches.reads.imports import import_file_of
from matches.reckon.decimals import digits_read
from matches.reckon.errors import BadInput, Fault
from matches.reckon.reading import is_storable
from matches.reckon.sheets import Sheet, column_letter, sheet_read
from matches.reckon.sheets.sheet import MOST_BYTES
from matches.writes.imports import import_columns_choose, import_file_done, import_file_keep
from web.csv_files import csv_file
from web.imports.kinds import KINDS, Kind
from web.imports.look import WHATS, Look
from web.imports.steps import (
    Task,
    club_and_kind,
    columns_guess,
    file_import,
    file_look,
    task_of,
    things_of,
)
from web.methods import shown_and_sent
from web.people import person_of

from .club_page import club_page
from .file_kept import faults_told

ROWS_SHOWN = 200
EXAMPLES = 3
EXAMPLE_LONGEST = 40


@login_required
@require_safe
def files(request: HttpRequest, slug: str) -> HttpResponse:
    """What can come in as a file, and what goes out."""
    person = person_of(request)
    club = club_kept(person, slug=slug)
    runs = is_secretary(person, club=club)
    kinds = [kind for kind in KINDS.values() if runs or kind.key == ImportKind.PRICES]
    return club_page(request, "files", club, kinds=kinds, runs=runs)


@login_required
@shown_and_sent
def file_in(request: HttpRequest, slug: str, kind: str) -> HttpResponse:
    """Choose a file; it is kept for its sender, and shown on a page of its own."""
    person = person_of(request)
    club, of = club_and_kind(person, slug=slug, key=kind)
    things = things_of(person, club, of)
    faults: tuple[Fault, ...] = ()
    if request.method == "POST":
        try:
            name, raw = file_of(request)
            task = task_of(person, club=club, kind=of, about=request.POST.get("about", ""))
            sheet = sheet_read(raw)
            kept = import_file_keep(
                person,
                club=club,
                kind=of.key,
                about=task.about,
                name=name,
                raw=raw,
                columns=columns_guess(task, sheet),
            )
            return redirect("desk:file-kept", club.slug, kept.pk)
        except BadInput as bad:
            faults = bad.faults
    about = request.POST.get("about") or request.GET.get("about", "")
    return club_page(
        request, "file_in", club, kind=of, things=things, about=about, **faults_told(faults)
    )


@login_required
@require_safe
def sample(request: HttpRequest, slug: str, kind: str) -> HttpResponse:
    """A file to begin from, as the import reads it."""
    _club, of = club_and_kind(person_of(request), slug=slug, key=kind)
    return csv_file(of.sample, disposition=f'attachment; filename="{of.key}-sample.csv"')


@login_required
@shown_and_sent
def file_kept(request: HttpRequest, slug: str, file_id: UUID) -> HttpResponse:
    """One file: which column is what, what its import would do, and the press that does it."""
    person = person_of(request)
    club = clubs_of(person).filter(slug=slug).first() if is_storable(slug) else None
    if club is None:
        raise Problem(Code.NOT_FOUND, _("You are in no club of that address."))
    kept = import_file_of(person, club=club, file_id=file_id)
    _club, kind = club_and_kind(person, slug=slug, key=kept.kind)
    task = task_of(person, club=club, kind=kind, about=kept.about)
    if kept.done is not None:
        return _kept_page(request, task, kept)
    sheet = sheet_read(bytes(kept.raw))
    if request.method == "POST":
        if request.POST.get("do") != "import":
            import_columns_choose(kept, columns=_chosen(request, kind, sheet))
            return redirect("desk:file-kept", club.slug, kept.pk)
        answer = _import(request, task, kept, sheet)
        if answer is not None:
            return answer
    return _kept_page(request, task, kept, sheet=sheet, look=file_look(task, sheet, kept.columns))


def _import(
    request: HttpRequest, task: Task, kept: ImportFile, sheet: Sheet
) -> HttpResponse | None:
    """Import once, however often it is pressed; None where the look is to be shown again."""
    try:
        with transaction.atomic():
            held = import_file_of(task.person, club=task.club, file_id=kept.pk, lock=True)
            if held.done is None:
                seen = request.POST.get("seen", "")
                _look, done = file_import(task, sheet, held.columns, seen=seen)
                if done is None:
                    messages.warning(
                        request,
                        _("Nothing is imported yet: something changed since. Look once more."),
                    )
                    return None
                import_file_done(held, done=done)
    except Problem as problem:
        if problem.code is not Code.CONFLICT:
            raise
        messages.error(request, problem.detail)
        return None
    return redirect("desk:file-kept", task.club.slug, kept.pk)


def file_of(request: HttpRequest) -> tuple[str, bytes]:
    """The name and the bytes of the file that was sent. Raises BadInput."""
    sent = request.FILES.get("file")
    if not isinstance(sent, UploadedFile):
        raise BadInput(Fault("/file", _("Choose the file first.")))
    if (sent.size or 0) > MOST_BYTES:
        said = _("The file is larger than %d MiB: send it in parts.") % (MOST_BYTES >> 20)
        raise BadInput(Fault("", said))
    name = "".join(c for c in (sent.name or "") if is_storable(c))
    return name[-120:], sent.read()


def _chosen(request: HttpRequest, kind: Kind, sheet: Sheet) -> dict[str, int]:
    chosen = {}
    for column in kind.columns:
        text = request.POST.get(f"column-{column.name}", "")
        at = digits_read(text, most=len(sheet.heads) - 1)
        if at is not None:
            chosen[column.name] = at
    return chosen


def _kept_page(
    request: HttpRequest,
    task: Task,
    kept: ImportFile,
    *,
    sheet: Sheet | None = None,
    look: Look | None = None,
) -> HttpResponse:
    return club_page(
        request,
        "file_kept",
        task.club,
        kind=task.kind,
        kept=kept,
        thing=task.thing if task.kind.about != "club" else None,
        columns=_columns_shown(task.kind, kept, sheet) if sheet else [],
        look=look,
        parts=[(what, rows[:ROWS_SHOWN], max(0, len(rows) - ROWS_SHOWN))
               for what in WHATS if what != "same" and look and (rows := look.of(what))],
    )  # fmt: skip


def _columns_shown(kind: Kind, kept: ImportFile, sheet: Sheet) -> list[dict[str, Any]]:
    """Each column that is read: what is chosen for it, what it may be, and examples from it."""
    heads = [head or _("column %s") % column_letter(n) for n, head in enumerate(sheet.heads, 1)]
    choices = [
        (n, f"{head} ({column_letter(n + 1)})" if heads.count(head) > 1 else head)
        for n, head in enumerate(heads)
    ]
    shown = []
    for column in kind.columns:
        at = kept.columns.get(column.name)
        cells = [r.cells[at] for r in sheet.rows if at is not None and at < len(r.cells)]
        examples = [c[:EXAMPLE_LONGEST] for c in cells if c][:EXAMPLES]
        shown.append({"column": column, "at": at, "choices": choices, "examples": examples})
    return shown
