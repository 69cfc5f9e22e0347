"""Print the tables of `web/docs/files.md`: columns that imports read, and files of the export."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand

from web.exports.whole_club import JSON_FILES, TABLES
from web.imports.kinds import KINDS


class Command(BaseCommand):
    help = "Print which columns each import reads, and what each file of the export holds."

    def handle(self, *args: Any, **options: Any) -> None:
        self.stdout.write("\n".join([*_imports(), "## What the export holds", "", *_exports()]))


def _imports() -> list[str]:
    lines = ["## Columns that are read", ""]
    for kind in KINDS.values():
        lines += [f"### {kind.title} (`{kind.key}`)", "", str(kind.alike), ""]
        lines += ["| column | called | known by, too |", "|---|---|---|"]
        for column in kind.columns:
            needed = ", needed" if column.needed or column.name in kind.one_of else ""
            also = ", ".join(column.also)
            lines.append(f"| `{column.name}`{needed} | {column.words} | {also} |")
        if kind.one_of:
            lines += ["", f"Of {' and '.join(f'`{n}`' for n in kind.one_of)} one is enough."]
        lines.append("")
    return lines


def _exports() -> list[str]:
    lines = ["| file | holds | columns |", "|---|---|---|"]
    for table in TABLES:
        names = "; ".join(f"`{name}` {meaning}".strip() for name, meaning in table.columns)
        lines.append(f"| `{table.file}` | {table.about} | {names} |")
    return [*lines, *(f"| `{name}` | {about} | |" for name, about in JSON_FILES)]
