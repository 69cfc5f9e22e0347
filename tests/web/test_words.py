"""The catalogue of words: whole, of this code, with what is filled in left as it is."""

from __future__ import annotations

import os
import re
import shutil
from pathlib import Path

import polib
import pytest

from web.management.commands.words import LANGUAGES, LOCALE, gather

FILLED = re.compile(r"%\(\w+\)[#0\- +]*[\d.]*[sdf]|%[sd]|%%|\{\w*\}")
TAGS = re.compile(r"</?[a-zA-Z][^<>]*>")


def catalogue(language: str) -> Path:
    return LOCALE / language / "LC_MESSAGES" / "django.po"


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_word_is_translated_and_what_is_filled_in_or_marked_up_stays(language: str) -> None:
    entries = [e for e in polib.pofile(str(catalogue(language))) if not e.obsolete]
    assert len(entries) > 3_000
    assert [e.msgid for e in entries if not e.translated()] == []
    wrong = []
    for entry in entries:
        texts = {0: entry.msgstr} if not entry.msgid_plural else entry.msgstr_plural
        sources = {entry.msgid, entry.msgid_plural or entry.msgid}
        for said in texts.values():
            if not any(_same(source, said) for source in sources):
                wrong.append((entry.msgid, said))
    assert wrong == []


def _same(source: str, said: str) -> bool:
    return set(FILLED.findall(source)) == set(FILLED.findall(said)) and sorted(
        TAGS.findall(source)
    ) == sorted(TAGS.findall(said))


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_is_compiled_is_what_is_written(language: str) -> None:
    written = polib.pofile(str(catalogue(language)))
    compiled = polib.mofile(str(catalogue(language).with_suffix(".mo")))

    def said(entries: list[polib.POEntry]) -> dict[tuple[str | None, str], object]:
        return {(e.msgctxt, e.msgid): (e.msgstr, dict(e.msgstr_plural or {})) for e in entries}

    assert said(compiled) == said([e for e in written if e.translated()])


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_word_of_the_code_is_missing_and_none_is_left_over(
    language: str, tmp_path: Path
) -> None:
    if shutil.which("xgettext") is None:
        assert not os.environ.get("CI"), "gettext is not installed"
        pytest.skip("LEFT OUT: xgettext is not installed")
    kept = catalogue(language)
    copy = tmp_path / language / "LC_MESSAGES" / "django.po"
    copy.parent.mkdir(parents=True)
    shutil.copy(kept, copy)
    gather(tmp_path)
    said = [{(e.msgctxt, e.msgid) for e in polib.pofile(str(p))} for p in (kept, copy)]
    assert said[1] - said[0] == set(), "run `make words` and translate what is new"
    assert said[0] - said[1] == set(), "run `make words`"
