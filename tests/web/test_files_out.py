"""All of a club as one archive, and the same read back."""

from __future__ import annotations

import csv
import io
import json
import re
import zipfile
from pathlib import Path

import pytest
from django.core.management import call_command
from django.test import Client

from bait.models import Shop
from matches.models import Angler, AuditEntry, Draw, Fact, Match, Peg
from matches.reckon.canonical import canonical_digest
from tests.clients import signed_in
from tests.rights_rows import rows_make
from tests.sheets import file_of
from tests.web.phone import Phone
from web.exports.archive import AT_ONCE, archive_sent, csv_parts
from web.exports.whole_club import TABLES

FILES = "/desk/files/otterbeck/"


@pytest.fixture
def desk(db: None) -> Client:
    """The secretary of a club with one of everything."""
    return signed_in(rows_make().people["secretary"])  # type: ignore[arg-type]


def taken(client: Client) -> zipfile.ZipFile:
    answer = client.post(f"{FILES}all/")
    assert answer.headers["Content-Type"] == "application/zip"
    archive = zipfile.ZipFile(io.BytesIO(b"".join(answer.streaming_content)))  # type: ignore[attr-defined]
    assert archive.testzip() is None
    return archive


def rows_of(archive: zipfile.ZipFile, name: str) -> list[dict[str, str]]:
    text = archive.read(name).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_everything_is_in_it_as_its_own_words_say(desk: Client) -> None:
    Angler.objects.filter(name="Maud Ferris").update(name="=Maud")
    Peg.objects.filter(number="1").update(longitude="-1.25", latitude="52")
    archive = taken(desk)
    assert {table.file for table in TABLES} | {"README.txt"} <= set(archive.namelist())
    said = archive.read("README.txt").decode()
    for table in TABLES:
        heads = archive.read(table.file).decode("utf-8-sig").splitlines()[0].split(",")
        assert heads == [name for name, _meaning in table.columns]
        assert table.file in said and all(f"  {name}" in said for name in heads)
        if table.file not in NEVER_HERE:
            assert rows_of(archive, table.file), f"{table.file} is empty"
    assert "-1.25" in {row["longitude"] for row in rows_of(archive, "pegs.csv")}
    assert "'=Maud" in {row["name"] for row in rows_of(archive, "anglers.csv")}
    bulletins = [name for name in archive.namelist() if name.startswith("bulletins/")]
    shown = rows_of(archive, "results.csv")
    body = json.loads(archive.read(sorted(bulletins)[-1]))
    assert len(shown) == sum(len(s["entries"]) for s in body["sections"])
    assert re.fullmatch("[0-9a-f]{64}", canonical_digest(body))
    assert AuditEntry.objects.filter(verb="club_export").count() == 1


#: What the club of the test has none of.
NEVER_HERE = (
    "pool_entries.csv", "fees.csv", "prizes.csv", "past_results.csv", "shop_payments.csv",
    "shop_charges.csv", "paid_back.csv", "larder.csv", "larder_moves.csv",
)  # fmt: skip


def test_nobodys_own_notes_and_no_secret_are_in_it(desk: Client) -> None:
    wilmot = Angler.objects.get(name="Wilmot Crane")
    assert wilmot.person
    phone = Phone(wilmot.person, Match.objects.get())
    phone.push([phone.keep("peg_note", "1", {"note": "snaggy bottom"})])
    assert Fact.objects.filter(body__note="snaggy bottom").exists()
    Draw.objects.filter(number=1).update(drawn_at=None)
    seed = Draw.objects.get(number=1).seed
    archive = taken(desk)
    everything = b"".join(archive.read(name) for name in archive.namelist())
    assert b"snaggy bottom" not in everything
    assert seed.encode() not in archive.read("draws.csv")
    assert b"argon2" not in everything and b"md5$" not in everything


@pytest.mark.parametrize("kind", ["anglers", "pegs", "prices"])
def test_what_went_out_comes_in_again_as_it_is(desk: Client, kind: str) -> None:
    Angler.objects.filter(name="Maud Ferris").update(name="-Maud", junior=True, number="7")
    Peg.objects.filter(number="1").update(notes="=deep", longitude="-1.25", latitude="52")
    raw = taken(desk).read(f"{kind}.csv")
    about = {"pegs": Peg.objects.get(number="1").venue_id, "prices": Shop.objects.get().key}
    sent = {"file": file_of(raw), "about": about.get(kind, "")}
    answer = desk.post(f"{FILES}in/{kind}/", sent, follow=True)
    assert "up to date" in answer.content.decode()


def test_little_of_it_is_in_memory_at_once() -> None:
    rows = ([n, "x" * 900] for n in range(20_000))
    parts = list(archive_sent([("big.csv", csv_parts(["n", "text"], rows))]))
    assert max(map(len, parts)) < 4 * AT_ONCE
    archive = zipfile.ZipFile(io.BytesIO(b"".join(parts)))
    assert archive.read("big.csv").count(b"\r\n") == 20_001


def test_the_book_names_the_columns_that_the_code_has() -> None:
    printed = io.StringIO()
    call_command("files_book", stdout=printed)
    book = (Path(__file__).parents[2] / "web/docs/files.md").read_text(encoding="utf-8")
    assert printed.getvalue().strip() in book, "put what `manage.py files_book` prints into it"
