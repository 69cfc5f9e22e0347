"""The app's page with one script before its own: it writes down what goes wrong in the page, and
takes from the browser what a test says an engine may lack.
"""

from __future__ import annotations

import base64
import hashlib
from pathlib import Path
from typing import Any

import pytest
from django.conf import LazySettings

WATCH = """
window.faults = [];
addEventListener("error", (event) => faults.push(`${event.message} ${event.filename ?? ""}`));
addEventListener("unhandledrejection", (event) => faults.push(String(event.reason)));
"""
# What each leaves of the browser: as in an engine without it, or where the person forbade it.
WITHOUT = {
    "locks": "delete Navigator.prototype.locks;",
    "indexedDB": """for (const name of ["indexedDB", "webkitIndexedDB"]) {
      Object.defineProperty(window, name, { value: undefined }); }""",
    "leave to store": """IDBFactory.prototype.open = () => {
      throw new DOMException("The operation is insecure.", "SecurityError"); };""",
    "helpers": """for (const name of ["wakeLock", "vibrate", "storage"]) {
      delete Navigator.prototype[name]; }""",
    "worker": "delete Navigator.prototype.serviceWorker;",
}


def page_watch(
    folder: Path, settings: LazySettings, monkeypatch: pytest.MonkeyPatch, without: str | None
) -> None:
    """Serve the page so, with a worker of the same build, until the test ends."""
    import pwa.app_settings

    from web.bank import packing, views
    from web.management.commands import bank_build

    script = WATCH + WITHOUT.get(without or "", "")
    page = folder / "index.html"
    text = views.INDEX.read_text()
    page.write_text(text.replace("<title>", f"<script>{script}</script><title>", 1))
    files = packing.shell_files() | {packing.PAGE: page}
    packed = packing.packs(files)
    monkeypatch.setattr(views, "INDEX", page)
    bank_build.shell_write(packed)
    worker = folder / "serviceworker.js"
    worker.write_text(bank_build.worker_text(files, packed)[0])
    monkeypatch.setattr(pwa.app_settings, "PWA_SERVICE_WORKER_PATH", str(worker))
    settings.CONTENT_SECURITY_POLICY = _policy_with(settings.CONTENT_SECURITY_POLICY, script)


def _policy_with(policy: dict[str, Any], script: str) -> dict[str, Any]:
    """Ours, and this one script by its digest."""
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    directives = policy["DIRECTIVES"]
    allowed = [*directives["script-src"], f"'sha256-{digest}'"]
    return {"DIRECTIVES": directives | {"script-src": allowed}}
