"""Several of everything, set up by nothing but the environment that the compose file names."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
import yaml
from django.conf import settings
from django.db import connection

from bait.reckon.mix import MIX_EXAMPLE
from bait.writes.plan_content import plan_content_parse
from bait.writes.plans import plan_save
from tests.clients import signed_in
from tests.races.site import TOKEN, Site
from tests.web.phone import Phone
from web.processes import Processes

ROOT = Path(__file__).parents[2]

pytestmark = [pytest.mark.redis, pytest.mark.django_db(transaction=True)]


def environment(folder: Path) -> dict[str, str]:
    """What the compose file sets for the site, with the servers of this run."""
    at = connection.settings_dict
    broker = settings.CELERY_BROKER_URL.rpartition("/")[0]
    given = {
        "SITE_URL": "http://localhost",
        "SECRET_KEY": settings.SECRET_KEY,
        "DATABASE_URL": f"postgres://{at['USER']}@{quote(at['HOST'], safe='')}/{at['NAME']}",
        "BROKER_URL": f"{broker}/2",
        "CACHE_URL": f"{broker}/3",
        "BEHIND_PROXY": "1",
        "METRICS_TOKEN": "for-the-meters",
        "LOG_FORMAT": "json",
        "LOG_LEVEL": "INFO",
    }
    compose = yaml.safe_load((ROOT / "web/deploy/compose.yaml").read_text())
    assert given.keys() == compose["x-site"]["environment"].keys()
    own = {"VAR_DIR": str(folder), "RECKON_RATE": "3/min", "PYTHONPATH": str(ROOT)}
    return given | own | {"PATH": "/usr/bin:/bin", "LANG": "C.UTF-8"}


@pytest.fixture
def site(lasting_world: Any, tmp_path: Path) -> Iterator[Site]:
    with Processes(logs=tmp_path / "log", environment=environment(tmp_path)) as processes:
        yield Site(processes)


def cookies(person: Any) -> dict[str, str]:
    client = signed_in(person)
    return {"Cookie": f"sessionid={client.cookies['sessionid'].value}; csrftoken={TOKEN}"}


def plan_of_caster(world: Any) -> None:
    feeds = [{"bait": "caster", "amount": "8.5", "unit": "pint"}]
    stages = [{"kind": "opening", "end_minute": 0, "feeds": feeds}]
    content = plan_content_parse({"version": 0, "stages": stages})
    plan_save(world.captain, entry=world.entries["Wilmot"], content=content)


def test_several_webs_and_workers_are_one_site(lasting_world: Any, site: Site) -> None:
    world = lasting_world
    plan_of_caster(world)

    def ready() -> bool:
        try:
            return all(site.ask(n, "GET", "/readyz")[2]["ready"] is True for n in (0, 1))
        except OSError:
            return False

    site.until(ready)
    assert "away" not in site.ask(0, "GET", "/readyz")[2]["parts"].values()

    # A fact pushed to one is pulled from the other.
    phone, weigher = Phone(world.weigher, world.match), cookies(world.weigher)
    fact = phone.weigh("1", 4250)
    push = {"protocol": 1, "device": phone.device, "app": "b2", "facts": [fact]}
    facts = "/api/v1/sync/facts"
    status, _, told = site.ask(0, "POST", facts, push, **weigher)
    assert status == 200 and told["outcomes"][0]["outcome"] == "accepted"
    told = site.ask(1, "GET", f"{facts}?match={world.match.pk}", **weigher)[2]
    assert [one["id"] for one in told["facts"]] == [fact["id"]]

    # An order asked of one is worked out by a worker, under the id of the request.
    order = f"/api/v1/teams/{world.alders.pk}/matches/{world.match.pk}/order"
    captain = cookies(world.captain)
    named = {"X-Request-ID": "asked-by-the-test"}
    status, headers, work = site.ask(1, "POST", f"{order}/work", {}, **captain, **named)
    assert status == 202 and headers["X-Request-ID"] == "asked-by-the-test"
    site.until(
        lambda: site.ask(0, "GET", f"/api/v1/work/{work['id']}", **captain)[2]["state"] == "done"
    )
    lines = [*site.logged("worker-1"), *site.logged("worker-2")]
    done = [one for one in lines if one["logger"] == "drawbag.tasks"]
    assert "asked-by-the-test" in {one["request_id"] for one in done}

    # Calls are counted over both, by the address that the proxy saw.
    asked = {"X-Forwarded-For": "203.0.113.9"}
    mix = [site.ask(n % 2, "POST", "/api/v1/reckon/mix", MIX_EXAMPLE, **asked)[0] for n in range(4)]
    assert mix == [200, 200, 200, 429]

    # Either tells the numbers of all that count in this folder, the workers among them.
    bearer = {"Authorization": "Bearer for-the-meters"}
    told = site.ask(1, "GET", "/metrics", **bearer)[2]
    assert 'drawbag_facts_total{outcome="accepted"} 1.0' in told
    assert 'drawbag_tasks_total{result="done",task="bait.tasks.order_work_out"}' in told
