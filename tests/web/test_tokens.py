"""Tokens of the API: shown once, good for their scopes alone, dead when they should be."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any

import pytest
from django.core.cache import cache
from django.test import Client
from django.utils import timezone

from matches.models import ApiToken, AuditEntry, Membership, Scope
from matches.reads.api_tokens import api_token_named
from matches.writes.api_tokens import api_token_make, api_token_revoke, api_tokens_sweep
from tests.addresses import addresses
from tests.clients import signed_in
from tests.conftest import World
from tests.rights import VERBS, by_name
from tests.rights_rows import rows_make
from web.api.scopes import ANYONE, NEEDS, NEVER

pytestmark = pytest.mark.django_db
ALL = tuple(Scope.values)


@pytest.fixture(autouse=True)
def nothing_counted() -> None:
    cache.clear()


def made(person: Any, *scopes: str, days: int = 90, name: str = "our site") -> str:
    return api_token_make(person, name=name, scopes=scopes or ALL, days=days)[1]


def bearer(secret: str, **more: Any) -> Client:
    return Client(HTTP_HOST="localhost", headers={"authorization": f"Bearer {secret}"}, **more)


def test_a_token_is_random_known_by_its_beginning_and_kept_only_as_a_digest(world: World) -> None:
    secret = made(world.member)
    assert re.fullmatch(r"drawbag_[A-Za-z0-9_-]{43}", secret)  # 256 bits in base64url
    assert secret != made(world.member, name="another")
    kept = str(list(ApiToken.objects.values())) + str(list(AuditEntry.objects.values()))
    assert secret.removeprefix("drawbag_") not in kept


def test_a_program_reads_as_its_person_and_a_form_of_elsewhere_needs_the_cookie_no_more(
    world: World,
) -> None:
    told = bearer(made(world.member)).get("/api/v1/me")
    assert told.json()["person"]["name"] == "Wilmot Crane"
    assert ApiToken.objects.get().last_used_on == timezone.localdate()
    # Beside a cookie the token alone counts, also one that is none.
    both = bearer("drawbag_none", enforce_csrf_checks=True)
    both.force_login(world.secretary)
    assert both.get("/api/v1/me").status_code == 401
    cookie = Client(HTTP_HOST="localhost", enforce_csrf_checks=True)
    cookie.force_login(world.secretary)
    at = f"/api/v1/matches/{world.match.pk}/bulletins"
    assert cookie.post(at, "{}", content_type="application/json").status_code == 403
    right = bearer(made(world.secretary), enforce_csrf_checks=True)
    assert right.post(at, "{}", content_type="application/json").status_code == 201


@pytest.mark.parametrize("why", ["unknown", "over", "revoked", "password", "left", "empty"])
def test_every_token_that_is_not_good_is_answered_alike(world: World, why: str) -> None:
    secret = made(world.member)
    token, person = ApiToken.objects.get(), world.member
    match why:
        case "unknown":
            secret += "x"
        case "over":
            ApiToken.objects.update(expires_at=timezone.now())
        case "revoked":
            api_token_revoke(person, token_id=token.pk)
        case "password":
            person.set_password("another-heron-on-the-wend")
            person.save()
        case "left":
            person.is_active = False
            person.save()
        case "empty":
            secret = ""
    answer = bearer(secret).get("/api/v1/me")
    assert answer.status_code == 401
    assert answer["WWW-Authenticate"] == 'Bearer realm="drawbag", error="invalid_token"'
    assert answer.json() == {
        "type": "/problems/sign-in",
        "title": "Sign in first.",
        "status": 401,
        "detail": "This token is not good, or no longer. Make one at the desk.",
    }


def test_without_any_the_answer_names_the_way_in(world: World) -> None:
    answer = Client().get("/api/v1/me")
    assert (answer.status_code, answer["WWW-Authenticate"]) == (401, 'Bearer realm="drawbag"')


def test_who_is_off_the_list_reads_no_more_of_the_club_by_a_token(world: World) -> None:
    client = bearer(made(world.member))
    at = f"/api/v1/matches/{world.match.pk}"
    assert client.get(at).status_code == 200
    Membership.objects.filter(person=world.member).update(ended_at=timezone.now())
    assert client.get(at).status_code == 404
    assert client.get("/api/v1/me").json()["clubs"] == []


def test_every_address_of_the_api_says_what_a_token_needs_there() -> None:
    names = {name.removeprefix("api:") for name in by_name() if name.startswith("api:")}
    assert names == set(NEEDS)
    words = {word for needs in NEEDS.values() for word in " ".join(needs).split()}
    assert words - {NEVER} == set(Scope.values)


def test_each_address_opens_to_its_scopes_and_to_no_other(db: None) -> None:
    """The captain may read and write nearly everything, the plan too."""
    rows = rows_make()
    person, wrong = rows.people["captain"], list[str]()
    assert person is not None
    known: dict[tuple[str, ...], str] = {}
    plain = signed_in(person)
    for name, at in addresses(rows.known):
        if not name.startswith("api:"):
            continue
        row, verb = by_name()[name], VERBS.get(name, "post")
        for how, whose in (("get", row.reads), (verb, row.writes)):
            if whose == "nobody":
                continue
            needs = NEEDS[name.removeprefix("api:")][how != "get"]
            cache.clear()
            secrets = secrets_of(person, needs, known=known)
            got = [asked(bearer(secret), how, at) for secret in secrets]
            wants = [asked(plain, how, at), "403 insufficient_scope"]
            wanted = wants if needs not in (ANYONE, NEVER) else [wants[needs == NEVER]] * 2
            if got != wanted:
                wrong.append(f"{how} {name}: {got}, not {wanted}")
    assert not wrong, "\n".join(wrong)


def secrets_of(person: Any, needs: str, *, known: dict[tuple[str, ...], str]) -> list[str]:
    """A token with just what is needed, and one with everything but that; each is made once."""
    just = [word for word in needs.split() if word != NEVER]
    rest = [scope for scope in ALL if scope not in just[:1]]
    wanted = (tuple(just or ALL), tuple(rest))
    for scopes in set(wanted) - set(known):
        known[scopes] = made(person, *scopes, name=f"for {len(known)}")
    return [known[scopes] for scopes in wanted]


def asked(client: Client, verb: str, at: str) -> str:
    """The status; what the asking wrote is taken back."""
    from django.db import transaction

    with transaction.atomic():
        more = {} if verb == "get" else {"data": "{}", "content_type": "application/json"}
        answer = getattr(client, verb)(at, **more)
        transaction.set_rollback(True)
    lacks = "insufficient_scope" in answer.headers.get("WWW-Authenticate", "")
    return f"{answer.status_code}{' insufficient_scope' if lacks else ''}"


def test_what_is_lacking_is_named(world: World) -> None:
    at = f"/api/v1/matches/{world.match.pk}/bulletins"
    answer = bearer(made(world.member, "matches:read")).get(at)
    assert answer.status_code == 403
    assert answer["WWW-Authenticate"] == (
        'Bearer realm="drawbag", error="insufficient_scope", scope="results:read"'
    )
    assert "results:read" in answer.json()["detail"]


def test_no_token_opens_a_page(world: World) -> None:
    client = bearer(made(world.secretary))
    for at in ("/desk/", "/desk/tokens/", "/desk/phones/", "/admin/"):
        assert client.get(at).status_code == 302
        assert client.post(at).status_code in (302, 403)
    assert ApiToken.objects.count() == 1


def test_one_token_is_asked_to_wait_and_another_is_not(world: World, settings: Any) -> None:
    settings.REST_FRAMEWORK["DEFAULT_THROTTLE_RATES"]["token"] = "2/min"
    try:
        busy, calm = bearer(made(world.member)), bearer(made(world.member, name="another"))
        assert [busy.get("/api/v1/me").status_code for _ in range(3)] == [200, 200, 429]
        last = busy.get("/api/v1/me")
        assert int(last["Retry-After"]) > 0 and last.json()["type"] == "/problems/slow-down"
        assert calm.get("/api/v1/me").status_code == 200
    finally:
        settings.REST_FRAMEWORK["DEFAULT_THROTTLE_RATES"]["token"] = "120/min"


def test_what_is_over_is_swept_a_month_later_and_making_and_revoking_stay_in_the_trail(
    world: World,
) -> None:
    for name in ("good", "over", "revoked"):
        made(world.member, name=name)
    long_ago = timezone.now() - dt.timedelta(days=31)
    ApiToken.objects.filter(name="over").update(expires_at=long_ago)
    api_token_revoke(world.member, token_id=ApiToken.objects.get(name="revoked").pk)
    assert api_tokens_sweep() == 1
    ApiToken.objects.filter(name="revoked").update(revoked_at=long_ago)
    assert api_tokens_sweep() == 1
    assert [token.name for token in ApiToken.objects.all()] == ["good"]
    trail = AuditEntry.objects.filter(verb__startswith="api_token").order_by("pk")
    assert [row.verb for row in trail] == ["api_token_make"] * 3 + ["api_token_revoke"]


def test_the_page_shows_a_token_once_and_revokes_it(world: World) -> None:
    client = signed_in(world.member)
    sent = {"name": "our site", "days": "90", "scopes": ["results:read"]}
    page = client.post("/desk/tokens/", sent)
    found = re.search(r'<code id="secret">(\S+)</code>', page.content.decode())
    assert found is not None and "no-store" in page["Cache-Control"]
    token = api_token_named(found[1])
    assert token is not None and token.scopes == ["results:read"]
    again = client.post("/desk/tokens/", sent).content.decode()  # the page read anew by mistake
    assert "You have a token of that name" in again and 'id="secret"' not in again
    assert found[1] not in client.get("/desk/tokens/").content.decode()
    client.post("/desk/tokens/", {"token": token.pk})
    assert "revoked" in client.get("/desk/tokens/").content.decode()
    assert api_token_named(found[1]) is None


@pytest.mark.parametrize(
    ("sent", "words"),
    [
        ({"name": ""}, "Say in at most 60 letters"),
        ({"name": "n" * 61}, "Say in at most 60 letters"),
        ({"name": "a\x00b"}, "Say in at most 60 letters"),
        ({"days": "367"}, "from 1 to 366"),
        ({"days": "0"}, "from 1 to 366"),
        ({"days": "soon"}, "from 1 to 366"),
        ({"scopes": []}, "Choose at least one"),
        ({"scopes": ["everything"]}, "Choose at least one"),
    ],
)
def test_a_form_that_cannot_be_taken_says_why_and_keeps_what_was_typed(
    world: World, sent: dict[str, Any], words: str
) -> None:
    client = signed_in(world.member)
    whole = {"name": "our site", "days": "90", "scopes": ["results:read"], **sent}
    page = client.post("/desk/tokens/", whole).content.decode()
    assert words in page and not ApiToken.objects.exists()
    assert f'name="days" value="{whole["days"]}"' in page


def test_nobody_revokes_another_persons_token(world: World) -> None:
    made(world.member)
    client = signed_in(world.secretary)
    token = ApiToken.objects.get()
    assert client.post("/desk/tokens/", {"token": token.pk}).status_code == 404
    token.refresh_from_db()
    assert token.revoked_at is None
