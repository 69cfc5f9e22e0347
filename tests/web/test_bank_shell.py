"""The bank app's shell as the server hands it out."""

from __future__ import annotations

import hashlib
import json
import re
from pathlib import Path

import pytest
from django.conf import settings
from django.core.management import call_command
from django.test import Client

SHELL = Path(settings.BASE_DIR) / "web/bank/shell"
VENDOR = SHELL / "vendor"
BANK = SHELL.parent


def test_vendored_libraries_are_what_their_checksums_say() -> None:
    listed = dict(
        line.split("  ")[::-1] for line in (VENDOR / "SHA256SUMS").read_text().split("\n") if line
    )
    found = {
        path.name: hashlib.sha256(path.read_bytes()).hexdigest()
        for path in VENDOR.iterdir()
        if path.name != "SHA256SUMS"
    }
    assert found == listed


def test_each_vendored_library_has_its_licence_beside_it() -> None:
    for script in VENDOR.glob("*.js"):
        assert len((VENDOR / f"{script.stem}.LICENSE.txt").read_text()) > 500


def test_lock_file_names_no_registry() -> None:
    lock = json.loads((BANK / "package-lock.json").read_text())
    assert [n for n, p in lock["packages"].items() if "resolved" in p] == []
    assert all("integrity" in p for n, p in lock["packages"].items() if n)


def test_shell_is_the_same_bytes_for_everybody_and_asked_for_anew(client: Client) -> None:
    response = client.get("/bank/")
    assert response.status_code == 200
    assert response.content == (SHELL / "index.html").read_bytes()
    assert response["Cache-Control"] == "no-cache"
    assert "default-src 'none'" in response["Content-Security-Policy"]
    assert "Set-Cookie" not in response


def test_worker_lists_every_file_of_the_shell_and_each_can_be_fetched(client: Client) -> None:
    call_command("bank_build", verbosity=0)
    response = client.get("/serviceworker.js")
    assert response["Cache-Control"] == "no-cache"
    listed = files_listed(response.content)
    assert "/bank/" in listed
    for path in SHELL.rglob("*.js"):
        assert f"/static/bank/{path.relative_to(SHELL).as_posix()}" in listed
    for address in listed:
        assert client.get(address).status_code == 200, address


def test_build_changes_when_any_byte_of_the_shell_does(tmp_path: Path) -> None:
    from web.management.commands.bank_build import build_id

    page = tmp_path / "app.js"
    page.write_text("one")
    before = build_id({"/static/bank/app.js": page}, "template")
    assert re.fullmatch("[0-9a-f]{12}", before)
    page.write_text("two")
    assert build_id({"/static/bank/app.js": page}, "template") != before
    assert build_id({"/static/bank/app.js": page}, "other") != before


def test_manifest_names_icons_that_exist(client: Client) -> None:
    manifest = client.get("/manifest.json").json()
    assert manifest["start_url"] == "/bank/"
    assert manifest["display"] == "standalone"
    for icon in manifest["icons"]:
        path = SHELL / icon["src"].removeprefix("/static/bank/")
        header = path.read_bytes()[:24]
        assert header[:8] == b"\x89PNG\r\n\x1a\n"
        width, height = (int.from_bytes(header[i : i + 4]) for i in (16, 20))
        assert f"{width}x{height}" == icon["sizes"]


@pytest.mark.parametrize("path", sorted(SHELL.rglob("*.js")), ids=lambda p: p.name)
def test_no_module_of_ours_is_long_or_unsafe(path: Path) -> None:
    if path.parent == VENDOR:
        return
    text = path.read_text()
    assert text.count("\n") <= 300
    assert "innerHTML" not in text
    assert "unsafeHTML" not in text


def test_only_one_file_each_knows_the_store_the_network_and_the_components() -> None:
    ours = [p for p in SHELL.rglob("*.js") if p.parent != VENDOR]

    def knowing(pattern: str) -> list[str]:
        return [p.name for p in ours if re.search(pattern, p.read_text())]

    assert knowing(r"vendor/dexie") == ["store.js"]
    assert knowing(r"\bfetch\(") == ["net.js"]
    assert knowing(r"vendor/lit") == ["element.js"]


def test_first_load_is_at_most_100_kilobytes_on_the_wire(client: Client) -> None:
    call_command("bank_build", verbosity=0)
    listed = files_listed(client.get("/serviceworker.js").content)
    sizes = {}
    for address in ["/serviceworker.js", "/manifest.json", *listed]:
        response = client.get(address, headers={"Accept-Encoding": "gzip"})
        body = b"".join(response) if response.streaming else response.content
        sizes[address] = len(body)
    assert sum(sizes.values()) <= 100_000, sizes


def files_listed(worker: bytes) -> list[str]:
    """What the worker keeps on the phone."""
    found = re.search(r"const FILES = (\[[^\]]*\])", worker.decode())
    assert found
    listed: list[str] = json.loads(found[1])
    return listed
