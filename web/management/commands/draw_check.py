"""Work a published draw out anew from its file, and say whether it is what was published."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils.translation import gettext as _

from matches.reckon.draw import DrawAnswer, draw_parse, draw_work_out
from matches.reckon.errors import BadInput

KEYS = {"request", "commitment", "assignments"}


class Command(BaseCommand):
    help = "Work a draw out anew from the file of the whole draw; ends with 1 on a difference."
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, help="The whole draw, from the board's draw page.")

    def handle(self, *args: Any, file: Path, **options: Any) -> None:
        published = _published(file)
        try:
            answer = draw_work_out(draw_parse(published["request"]))
        except BadInput as bad:
            said = "\n".join(f"{fault.pointer}: {fault.message}" for fault in bad.faults)
            raise CommandError(_("The draw cannot be worked out anew:") + f"\n{said}") from None
        differences = list(_differences(answer, published))
        if differences:
            raise CommandError("\n".join(differences))
        self.stdout.write(
            _("It checks: the seed gives the commitment, and all %(n)s pegs follow from it.")
            % {"n": len(answer.assignments)}
        )


def _published(file: Path) -> dict[str, Any]:
    try:
        published = json.loads(file.read_text(encoding="utf-8"))
    except OSError as error:
        raise CommandError(_("The file cannot be read: %(why)s") % {"why": error}) from None
    except ValueError:
        raise CommandError(_("The file is not JSON: load it from the draw’s page again.")) from None
    if not isinstance(published, dict) or set(published) != KEYS:
        raise CommandError(
            _("This is not the file of a whole draw: load that from the draw’s page.")
        )
    return published


def _differences(answer: DrawAnswer, published: Mapping[str, Any]) -> Iterator[str]:
    """A sentence for each difference, in the order of the numbers in the draw."""
    if answer.commitment != published["commitment"]:
        yield _("The seed does not give the commitment.")
    drawn = {a.angler: (a.section, a.peg) for a in answer.assignments}
    try:
        told = {a["angler"]: (a["section"], a["peg"]) for a in published["assignments"]}
        twice = len(told) != len(published["assignments"])
    except (TypeError, KeyError):
        raise CommandError(_("The pegs in the file cannot be read: load it again.")) from None
    if twice:
        yield _("Somebody stands in the file twice.")
    for angler in sorted(drawn.keys() | told.keys(), key=str):
        if drawn.get(angler) != told.get(angler):
            yield _("Number %(angler)s has %(told)s; the seed gives %(drawn)s.") % {
                "angler": angler,
                "told": _place(told.get(angler)),
                "drawn": _place(drawn.get(angler)),
            }


def _place(at: tuple[str, str] | None) -> str:
    if at is None:
        return _("no peg")
    return _("section %(section)s, peg %(peg)s") % {"section": at[0], "peg": at[1]}
