"""The bank app's shell as the server hands it out."""

from __future__ import annotations

import hashlib
import json
import re
import subprocess
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


@pytest.mark.django_db
def test_only_the_bank_app_may_ask_for_the_camera(client: Client) -> None:
    def allowed(path: str) -> str:
        return client.get(path)["Permissions-Policy"]

    assert allowed("/bank/") == "camera=(self), microphone=(), geolocation=()"
    for path in ("/", "/sign-in/", "/board/", "/desk/", "/nowhere", "/api/v1/me"):
        assert allowed(path) == "camera=(), microphone=(), geolocation=()", path


def test_worker_lists_every_file_of_the_shell_and_each_can_be_fetched(client: Client) -> None:
    call_command("bank_build", verbosity=0)
    response = client.get("/serviceworker.js")
    assert response["Cache-Control"] == "no-cache"
    first, later = (files_listed(response.content, group) for group in ("FIRST", "LATER"))
    assert "/bank/" in first
    assert not set(first) & set(later)
    listed = first + later
    for path in SHELL.rglob("*.js"):
        assert f"/static/bank/{path.relative_to(SHELL).as_posix()}" in listed
    for address in listed:
        assert client.get(address).status_code == 200, address


def test_first_load_is_closed_under_what_its_modules_import_as_they_start(client: Client) -> None:
    """Asked of esbuild, which reads modules by the language's own grammar."""
    call_command("bank_build", verbosity=0)
    first = files_listed(client.get("/serviceworker.js").content, "FIRST")
    bundled = subprocess.run(
        [
            *("node", "--input-type=module", "-e"),
            """
            import { build } from "esbuild";
            const { metafile } = await build({
              entryPoints: ["shell/start.js"], bundle: true, write: false, metafile: true,
              format: "esm", splitting: true, outdir: "out",
            });
            const seen = new Set();
            const walk = (file) => {
              if (seen.has(file)) return;
              seen.add(file);
              for (const { path, kind } of metafile.inputs[file].imports)
                if (kind === "import-statement") walk(path);
            };
            walk("shell/start.js");
            walk("shell/app.js");  // The page names it too, to have it at once.
            console.log(JSON.stringify([...seen]));
            """,
        ],
        cwd=BANK,
        capture_output=True,
        text=True,
        check=True,
    )
    needed = {f"/static/bank/{path.removeprefix('shell/')}" for path in json.loads(bundled.stdout)}
    assert "/static/bank/screens/keypad.js" in needed
    modules = {a for a in first if a.endswith(".js") and a.startswith("/static/bank/")}
    assert modules == needed


def test_each_part_that_comes_later_is_a_file_and_not_in_the_first_load(client: Client) -> None:
    call_command("bank_build", verbosity=0)
    later = files_listed(client.get("/serviceworker.js").content, "LATER")
    parts = re.findall(r'later: "\./([^"]+)"', (SHELL / "app.js").read_text())
    assert "screens/mixing.js" in parts
    assert [part for part in parts if f"/static/bank/{part}" not in later] == []


def test_a_module_that_only_an_import_call_or_a_comment_names_comes_later(tmp_path: Path) -> None:
    from web.bank.packing import first_and_later

    texts = {
        "/bank/": '<link href="/a/b.css"><script type="module" src="/a/app.js"></script>',
        "/a/app.js": 'import { x,\n  y } from "./x.js";\nimport "./s/y.js";\n'
        '/** @typedef {import("./type.js").T} T */\nconst z = () => import("./z.js");\n'
        'export const path = "./said.js";\n',
        "/a/x.js": 'export { q } from "./s/q.js";\n',
        "/a/s/y.js": 'import "../x.js";\n',
        "/a/s/q.js": "",
        "/a/z.js": 'import "./z-only.js";\nimport "./x.js";\n',
        **{f"/a/{name}": "" for name in ("z-only.js", "type.js", "said.js", "b.css", "z.css")},
    }
    files = {}
    for n, (address, text) in enumerate(texts.items()):
        files[address] = tmp_path / str(n)
        files[address].write_text(text)
    first, later = first_and_later(files)
    assert first == ["/bank/", "/a/app.js", "/a/x.js", "/a/s/y.js", "/a/s/q.js", "/a/b.css"]
    assert later == ["/a/z.js", "/a/z-only.js", "/a/type.js", "/a/said.js", "/a/z.css"]


def test_each_module_is_served_small_and_says_what_its_source_says(client: Client) -> None:
    """Asked of esbuild, which writes both anew from their syntax trees."""
    call_command("bank_build", verbosity=0)
    compared = subprocess.run(
        [
            *("node", "--input-type=module", "-e"),
            """
            import { readdirSync, readFileSync } from "node:fs";
            import { transformSync } from "esbuild";
            const read = (folder, file) => readFileSync(`${folder}/${file}`, "utf8");
            const anew = (text) => transformSync(text, { minify: true, format: "esm" }).code;
            const files = readdirSync("shell", { recursive: true })
              .filter((file) => file.endsWith(".js"));
            const differ = files.filter(
              (file) => anew(read("shell", file)) !== anew(read("build/shell", file)));
            console.log(JSON.stringify({ files: files.length, differ }));
            """,
        ],
        cwd=BANK,
        capture_output=True,
        text=True,
        check=True,
    )
    found = json.loads(compared.stdout)
    assert found["files"] > 90
    assert found["differ"] == []
    for name in ("app.js", "screens/feed.js"):
        response = client.get(f"/static/bank/{name}")
        body = b"".join(response) if response.streaming else response.content
        assert len(body) < 0.9 * (SHELL / name).stat().st_size
        assert b"// @ts-check" not in body


@pytest.mark.parametrize(
    ("source", "made"),
    [
        ("// why\nconst a = 1; /* x */\n\n  b( a, c );\n", "const a=1;\nb(a,c);\n"),
        ("f(`a  // ${ g(`b  c`) } /* d */`); // e", "f(`a  // ${ g(`b  c`) } /* d */`);"),
        (
            'const u = "http://x  y", r = /a  \\/\\/ [/*]/;',
            'const u="http://x  y",r=/a  \\/\\/ [/*]/;',
        ),
        ("x = a - -b + +c;\ny = a /* x */ in/* z */b", "x=a - -b + +c;\ny=a in b"),
        ("a()\n// two statements\nb()", "a()\nb()"),
    ],
)
def test_comments_and_needless_spaces_go_and_what_text_says_stays(source: str, made: str) -> None:
    from web.bank.small import small

    assert small(source.encode()).decode() == made


def test_what_is_no_module_is_refused_by_the_build() -> None:
    from web.bank.small import small

    with pytest.raises(ValueError, match="no JavaScript"):
        small(b"const = ;")


def test_build_changes_when_any_byte_of_the_shell_does(tmp_path: Path) -> None:
    from web.bank.packing import build_id

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
    listed = files_listed(client.get("/serviceworker.js").content, "FIRST")
    sizes = {}
    for address in ["/serviceworker.js", "/manifest.json", *listed]:
        sizes[address] = len(body_of(client, address, "gzip"))
    assert sum(sizes.values()) <= 100_000, sizes


def test_each_pack_holds_what_its_files_hold_and_is_smaller_than_they_are(client: Client) -> None:
    """What a phone keeps is what the server answers for each file, as the same media type."""
    call_command("bank_build", verbosity=0)
    worker = client.get("/serviceworker.js").content
    for group, address in (("FIRST", "first"), ("LATER", "later")):
        listed = [a for a in files_listed(worker, group) if a != "/bank/"]
        pack = json.loads(body_of(client, f"/static/bank/{address}.json"))
        assert list(pack) == listed
        for file, (media_type, text) in pack.items():
            assert client.get(file)["Content-Type"].partition(";")[0] == media_type
            assert body_of(client, file) == text.encode()
        packed = len(body_of(client, f"/static/bank/{address}.json", "gzip"))
        assert packed < sum(len(body_of(client, file, "gzip")) for file in listed)


def body_of(client: Client, address: str, encoding: str = "identity") -> bytes:
    response = client.get(address, headers={"Accept-Encoding": encoding})
    return b"".join(response) if response.streaming else response.content


def files_listed(worker: bytes, group: str) -> list[str]:
    """What the worker keeps on the phone, of one of its groups."""
    found = re.search(rf"const {group} = (\[[^\]]*\])", worker.decode())
    assert found
    listed: list[str] = json.loads(found[1])
    return listed
