"""What a public site needs besides its pages: its settings, its contact, and quiet logs."""

from __future__ import annotations

import datetime as dt
import io
import logging
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings as site
from django.core.checks import run_checks
from django.test import Client
from django.urls import URLPattern, get_resolver
from django.urls.converters import StringConverter
from django.utils import timezone

from web.log_secrets import SecretsHidden

ROOT = Path(__file__).parents[2]
TEXT = "/.well-known/security.txt"


def production() -> dict[str, str]:
    """The environment that the page for keepers shows."""
    page = (ROOT / "web/docs/hardening.md").read_text(encoding="utf-8")
    block = re.search(r"```sh\n(.*?)```", page, re.DOTALL)
    assert block
    return dict(line.split("=", 1) for line in block[1].splitlines())


def run(tmp_path: Path, *code: str, **more: str) -> subprocess.CompletedProcess[str]:
    kept = {
        name: os.environ[name] for name in ("PATH", "PYTHONPYCACHEPREFIX") if name in os.environ
    }
    return subprocess.run(
        [sys.executable, *code],
        cwd=ROOT,
        env=kept | {"VAR_DIR": str(tmp_path)} | production() | more,
        capture_output=True,
        text=True,
    )


# ---- the settings --------------------------------------------------------------------------------


@pytest.mark.slow
def test_in_production_every_check_passes_cookies_are_closed_and_browsers_keep_to_https(
    tmp_path: Path,
) -> None:
    told = run(
        tmp_path,
        "-c",
        "import os, sys; os.environ['DJANGO_SETTINGS_MODULE'] = 'web.settings'\n"
        "import django; django.setup()\n"
        "from django.core.management import call_command\n"
        "call_command('check', deploy=True, fail_level='WARNING', stdout=sys.stderr)\n"
        "from django.test import Client\n"
        "plain = Client(HTTP_HOST='club.example').get('/healthzz')\n"
        "page = Client(HTTP_HOST='club.example').get('/sign-in/', secure=True)\n"
        "from django.conf import settings as s\n"
        "print(plain.status_code, plain['Location'])\n"
        "print(page['Strict-Transport-Security'])\n"
        "print(page['Cross-Origin-Opener-Policy'], page['X-Content-Type-Options'])\n"
        "print(s.SESSION_COOKIE_NAME, s.SESSION_COOKIE_SECURE, s.SESSION_COOKIE_HTTPONLY)\n"
        "print(page.cookies['csrftoken'].OutputString())\n",
        DATABASE_URL="",
    )
    assert told.returncode == 0, told.stderr
    redirected, hsts, others, session, csrf = told.stdout.splitlines()
    assert redirected == "301 https://club.example/healthzz"
    assert hsts == "max-age=31536000"
    assert others == "same-origin nosniff"
    assert session == "__Host-sessionid True True"
    assert "Secure" in csrf and "SameSite=Lax" in csrf


@pytest.mark.parametrize(
    "path", ["/sign-in/", "/never/", "/api/v1/me", "/healthz", "/static/css/site.css"]
)
def test_every_answer_has_the_headers_that_keep_it_to_itself(db: None, path: str) -> None:
    answer = Client(HTTP_HOST="localhost").get(path)
    assert "default-src 'none'" in answer["Content-Security-Policy"]
    assert answer["Permissions-Policy"].startswith("camera=()")
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Referrer-Policy"] == "same-origin"
    assert "Access-Control-Allow-Origin" not in answer and "X-Powered-By" not in answer


@pytest.mark.parametrize("host", ["evil.example", "localhost.evil.example", "evil.example:8000"])
def test_another_sites_name_is_refused(host: str) -> None:
    assert Client(headers={"host": host}).get("/healthz").status_code == 400
    forwarded = Client(headers={"x-forwarded-host": host}).get("/sign-in/")
    assert "evil" not in forwarded.content.decode()
    assert not site.USE_X_FORWARDED_HOST


# ---- security.txt (RFC 9116) ---------------------------------------------------------------------


def fields(answer: Any) -> list[tuple[str, str]]:
    text = answer.content.decode("utf-8")
    assert text.endswith("\r\n")
    return [tuple(line.split(": ", 1)) for line in text.splitlines()]  # type: ignore[misc]


def test_security_txt_has_the_fields_that_the_rfc_asks_for(settings: Any) -> None:
    """Sections 2.3 (lines), 2.5.3 (Contact, one or more, in order), 2.5.5 (Expires, exactly one, in
    less than a year), 2.5.2 (Canonical over https), 3 (place and content type)."""
    settings.SECURITY_CONTACTS = ["mailto:keeper@club.example", "https://club.example/tell"]
    settings.SITE_URL = "https://club.example"
    answer = Client().get(TEXT)
    assert answer["Content-Type"] == "text/plain; charset=utf-8"
    told = fields(answer)
    assert [value for name, value in told if name == "Contact"] == settings.SECURITY_CONTACTS
    (expires,) = [value for name, value in told if name == "Expires"]
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", expires)
    left = dt.datetime.fromisoformat(expires) - timezone.now()
    assert dt.timedelta(days=88) < left < dt.timedelta(days=365)
    assert ("Canonical", f"https://club.example{TEXT}") in told
    assert len([name for name, _value in told if name == "Preferred-Languages"]) == 1
    assert Client().post(TEXT).status_code == 405


@pytest.mark.django_db
def test_without_a_contact_there_is_no_security_txt(settings: Any) -> None:
    settings.SECURITY_CONTACTS = []
    assert Client().get(TEXT).status_code == 404


def test_over_http_no_canonical_address_is_named(settings: Any) -> None:
    settings.SECURITY_CONTACTS = ["tel:+1-555-0100"]
    settings.SITE_URL = "http://localhost:8000"
    assert next(name for name, _value in fields(Client().get(TEXT))) == "Contact"
    assert "Canonical" not in Client().get(TEXT).content.decode()


def test_a_contact_that_is_no_address_is_said_by_the_check(settings: Any) -> None:
    settings.SECURITY_CONTACTS = ["keeper@club.example", "http://club.example/tell", "tel:1"]
    found = [message.id for message in run_checks()]
    assert found.count("drawbag.E010") == 2


# ---- logs ----------------------------------------------------------------------------------------


@pytest.fixture
def logged() -> Any:
    """What the console would be told, by the filter that it has."""
    assert site.LOGGING["handlers"]["console"]["filters"] == ["secrets"]
    assert site.LOGGING["filters"]["secrets"]["()"] == "web.log_secrets.SecretsHidden"
    written = io.StringIO()
    handler = logging.StreamHandler(written)
    handler.addFilter(SecretsHidden())
    logging.getLogger("django").addHandler(handler)
    yield written
    logging.getLogger("django").removeHandler(handler)


def worded(found: Any = None, before: str = "") -> Any:
    """Every address with a part of any words: what could open something by itself."""
    for one in get_resolver().url_patterns if found is None else found:
        here = before + str(one.pattern)
        if isinstance(one, URLPattern):
            parts = [n for n, c in one.pattern.converters.items() if type(c) is StringConverter]
            if parts:
                yield here
        elif getattr(one, "namespace", "") != "admin":
            yield from worded(one.url_patterns, here)


@pytest.mark.django_db
def test_what_opens_something_by_itself_is_in_no_line_of_the_log(logged: Any) -> None:
    asked = [re.sub(r"<[^>]*>", "opens-it-987", pattern) for pattern in worded()]
    assert len(asked) >= 4
    for path in asked:
        client = Client(raise_request_exception=False)
        client.get(f"/{path}?next=/join/opens-it-987/")
        client.get(f"/{path}torn")
        client.delete(f"/{path}")
    lines = logged.getvalue()
    assert "/join/…" in lines
    assert "opens-it" not in lines


@pytest.mark.parametrize(
    ("line", "written"),
    [
        ("Not Found: /join/12:abc_-/", "Not Found: /join/…"),
        ('GET "/recover/mail/MQ/x-y/" 404', 'GET "/recover/mail/…" 404'),
        ("Forbidden (why.): /desk/?q=Maud Ferris", "Forbidden (why.): /desk/?… Ferris"),
        ("Not Found: /desk/matches/7/", "Not Found: /desk/matches/7/"),
        ("Bad Request: /board/?x", "Bad Request: /board/?x"),
    ],
)
def test_a_line_keeps_what_is_no_secret(line: str, written: str) -> None:
    record = logging.LogRecord("django.request", logging.WARNING, "", 0, "%s", (line,), None)
    assert SecretsHidden().filter(record)
    assert record.getMessage() == written


@pytest.mark.django_db
def test_signing_in_and_recovering_log_no_name_and_no_password(
    world: Any, caplog: pytest.LogCaptureFixture
) -> None:
    typed = {"username": "wilmot", "password": "heron-x", "code": "AAAA", "again": "heron-x"}
    with caplog.at_level(logging.INFO):
        for _n in range(7):
            Client().post("/sign-in/", typed)
            Client().post("/recover/", typed)
    assert caplog.records  # the 429s are told, by their path
    assert not re.search("wilmot|heron|AAAA|127.0.0.1", caplog.text)
