"""The examples of the API's guide, run as they stand against a real server."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

from matches.models import Scope
from matches.reads.webhooks import webhook_key, webhook_secret
from matches.writes.api_tokens import api_token_make
from matches.writes.bulletins import bulletin_publish
from matches.writes.webhooks import webhook_add, webhook_try
from tests.conftest import World
from tests.fished import weigh
from web.webhooks.messages import message_bytes
from web.webhooks.sending import signed_headers

ROOT = Path(__file__).parents[2]
GUIDE = (ROOT / "web/docs/api.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```(\w+)\n(.*?)^```$", GUIDE, re.M | re.S)
RUN = [(kind, text) for kind, text in BLOCKS if kind in ("sh", "python")]


def test_every_block_is_of_a_known_kind_and_most_are_run() -> None:
    assert {kind for kind, _text in BLOCKS} == {"text", "json", "sh", "python"}
    assert len(RUN) >= 9 and len(BLOCKS) - len(RUN) == 2
    assert "web/docs/api.md" in (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_guide_names_every_scope() -> None:
    assert set(re.findall(r"^\| `(\w+:\w+)` \|", GUIDE, re.M)) == set(Scope.values)


def test_every_example_runs_as_it_stands(
    lasting_world: World, live_server: Any, tmp_path: Path
) -> None:
    world = lasting_world
    for peg, weight in {"1": 4250, "2": 3000, "4": 3000}.items():
        weigh(world, peg, weight)
    bulletin_publish(world.secretary, match=world.match)
    token = api_token_make(world.secretary, name="guide", scopes=Scope.values, days=1)[1]
    given = {
        "PATH": os.environ["PATH"],
        "SITE": live_server.url,
        "TOKEN": token,
        "MATCH": str(world.match.pk),
        **_message(world, tmp_path),
    }
    for kind, text in RUN:
        if kind == "sh" and not all(map(shutil.which, re.findall(r"\b(curl|openssl)\b", text))):
            continue  # a machine without them runs the rest
        command = ["bash", "-euo", "pipefail"] if kind == "sh" else [sys.executable, "-I"]
        ended = subprocess.run(
            [*command, "-c", text],
            cwd=tmp_path,
            env=given,
            capture_output=True,
            text=True,
            timeout=60,
        )
        assert ended.returncode == 0, f"{text}\n{ended.stdout[-2000:]}\n{ended.stderr[-2000:]}"


def _message(world: World, folder: Path) -> dict[str, str]:
    """A message as it arrives, its body in a file."""
    hook = webhook_add(world.secretary, club=world.club, address="https://club.example/told")
    delivery = webhook_try(world.secretary, club=world.club, webhook_id=hook.pk)
    body = message_bytes(delivery)
    (folder / "message.json").write_bytes(body)
    headers = signed_headers(
        webhook_key(hook), message_id=str(delivery.pk), at=int(time.time()), body=body
    )
    names = {"ID": "webhook-id", "TIMESTAMP": "webhook-timestamp", "SIGNATURE": "webhook-signature"}
    return {"SECRET": webhook_secret(hook)} | {key: headers[name] for key, name in names.items()}
