"""The site keeper's side: every page opens, for superusers only, and what was logged stays."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from django.contrib import admin
from django.test import Client
from django.urls import reverse

from tests.conftest import World
from web.demo import demo_load

MODELS = sorted(admin.site._registry, key=lambda model: model._meta.label)
OURS = [model for model in MODELS if model._meta.app_label in ("matches", "bait")]
LOGGED = {"Fact", "WeighIn", "Disagreement", "Bulletin", "Draw", "DrawnPeg", "AuditEntry"}
LOGGED |= {"League", "LeagueTable"}
LOGGED |= {"LarderLot", "LotMove", "SoldOut", "ReceivedLine", "BagTick", "ShopPayment", "PaidBack"}


def page(model: Any, name: str, *args: Any) -> str:
    return reverse(f"admin:{model._meta.app_label}_{model._meta.model_name}_{name}", args=args)


@pytest.fixture(autouse=True)
def without_a_second_factor(settings: Any) -> None:
    """That it is asked for is tried in its own file."""
    settings.KEEPERS_SECOND_FACTOR = False


@pytest.fixture
def keeper(world: World, client: Client) -> Iterator[Client]:
    """The site's keeper, signed in."""
    world.outsider.is_staff = world.outsider.is_superuser = True
    world.outsider.save()
    client.force_login(world.outsider)
    yield client


def test_every_model_of_ours_is_registered() -> None:
    from django.apps import apps

    known = {model.__name__ for model in OURS}
    inlined = {"Section", "PackBreak", "StageFeed", "MixPart", "OrderLine", "Share", "LeagueRound"}
    models = {
        m.__name__ for app in ("matches", "bait") for m in apps.get_app_config(app).get_models()
    }
    assert models - known == inlined


def test_every_list_form_and_object_opens_over_real_rows(client: Client, db: None) -> None:
    import datetime as dt

    from matches.models import Person

    demo_load(today=dt.date(2026, 6, 17))
    Person.objects.create_superuser("keeper", password="heron-on-the-wend")
    client.force_login(Person.objects.get(username="keeper"))
    for model in MODELS:
        assert client.get(page(model, "changelist")).status_code == 200, model
        added = client.get(page(model, "add")).status_code
        assert added == (403 if model.__name__ in LOGGED else added), model
        assert added in (200, 403), model
        row = model._default_manager.first()
        if row is not None:
            assert client.get(page(model, "change", row.pk)).status_code == 200, model


@pytest.mark.parametrize("model", OURS, ids=lambda m: m.__name__)
def test_search_box_answers(model: Any, keeper: Client) -> None:
    assert keeper.get(page(model, "changelist"), {"q": "maud 1"}).status_code == 200


@pytest.mark.parametrize("name", ["secretary", "captain", "member"])
def test_nobody_but_a_superuser_comes_in(world: World, client: Client, name: str) -> None:
    person = getattr(world, name)
    person.is_staff = True
    person.save()
    client.force_login(person)
    for address in [reverse("admin:index"), *(page(model, "changelist") for model in MODELS)]:
        response = client.get(address)
        assert response.status_code == 302
        assert "/admin/login/" in response["Location"]


def test_seed_of_a_draw_to_come_is_not_shown(world: World, keeper: Client) -> None:
    from matches.models import Draw
    from matches.writes.draws import draw_commit

    draw = draw_commit(world.secretary, match=world.match, mode="open")
    shown = keeper.get(page(Draw, "change", draw.pk)).content.decode()
    assert draw.commitment in shown
    assert draw.seed not in shown


@pytest.mark.parametrize("odd", ["Maud \u202eedolC", "Maud\x1b", "Maud\u2066"])
def test_names_of_people_teams_and_clubs_hold_nothing_that_no_screen_shows(
    world: World, keeper: Client, odd: str
) -> None:
    from matches.models import Person

    person = {"username": world.captain.username, "first_name": odd}
    teams = {"teams-TOTAL_FORMS": 1, "teams-INITIAL_FORMS": 0, "teams-0-name": odd}
    club = {"name": odd, "slug": world.club.slug, "currency": "GBP"}
    for model, key, form, fields in (
        (Person, world.captain.pk, person, {"first_name"}),
        (type(world.club), world.club.pk, club | teams, {"name"}),
    ):
        answer = keeper.post(page(model, "change", key), form)
        assert answer.status_code == 200
        errors = answer.context["adminform"].form.errors
        assert {name for name in fields if "cannot be stored" in str(errors[name])} == fields
    assert "cannot be stored" in str(answer.context["inline_admin_formsets"][0].formset.errors)
