"""A phone as the server sees one: an outbox, what was sent, what was pulled, and a cursor.

It does what the bank app does with each answer (`web/bank/shell/outcomes.js`, `sync.js`), in as
few lines as will say it.
"""

from __future__ import annotations

import json
import uuid
from typing import Any

from django.test import Client

URL = "/api/v1/sync/facts"
TOLD = {"accepted", "duplicate", "waiting", "disagrees"}
ROUNDS_MOST = 50


class Phone:
    """One person's phone at one match; `clock` is what its clock says, `app` its build."""

    def __init__(self, person: Any, match: Any, *, app: str = "b2") -> None:
        self.person, self.match, self.app = person, match, app
        self.device, self.seq, self.clock = str(uuid.uuid4()), 0, "2026-06-20T13:05:11.250Z"
        self.outbox: dict[str, dict[str, Any]] = {}
        self.sent: dict[str, dict[str, Any]] = {}
        self.refused: dict[str, dict[str, Any]] = {}
        self.pulled: dict[str, dict[str, Any]] = {}
        self.cursor, self.epoch = "", ""
        self.client = Client()
        self.client.force_login(person)

    # ---- what its person does ------------------------------------------------------------------

    def keep(self, kind: str, peg: str, body: dict[str, Any], **given: Any) -> dict[str, Any]:
        """Keep one fact on the phone's disk."""
        self.seq += 1
        fact = {
            "id": str(uuid.uuid4()),
            "device": self.device,
            "seq": self.seq,
            "kind": kind,
            "match": str(self.match.pk),
            "peg": peg,
            "recorded_at": self.clock,
            "body": body,
        } | given
        self.outbox[fact["id"]] = fact
        return fact

    def weigh(self, peg: str, weight: int, **given: Any) -> dict[str, Any]:
        return self.keep("weigh_in", peg, {"net": 1, "weight": weight, "unit": "g"}, **given)

    # ---- what it does by itself ----------------------------------------------------------------

    def push(self, facts: list[dict[str, Any]]) -> list[dict[str, Any]]:
        """The server's outcomes of these facts, none while it is busy; not taken in yet."""
        body = {"protocol": 1, "device": self.device, "app": self.app, "facts": facts}
        response = self.client.post(URL, json.dumps(body), content_type="application/json")
        if response.status_code == 503:
            return []
        assert response.status_code == 200, response.content
        outcomes: list[dict[str, Any]] = response.json()["outcomes"]
        assert [o["id"] for o in outcomes] == [f["id"] for f in facts]
        return outcomes

    def take_in(self, outcomes: list[dict[str, Any]]) -> None:
        """A fact the reply does not name stays where it is."""
        for one in outcomes:
            fact = self.outbox.get(one["id"])
            if fact is None or one["outcome"] == "later":
                continue
            del self.outbox[fact["id"]]
            if one["outcome"] in TOLD:
                self.sent[fact["id"]] = fact
            elif one["outcome"] == "clash":
                self._rename(fact)
            else:
                self.refused[fact["id"]] = fact | {"problem": one["problem"]}

    def _rename(self, fact: dict[str, Any]) -> None:
        """Another fact has this id: ours takes a new one, and what corrects ours follows it."""
        made = str(uuid.uuid4())
        self.outbox[made] = fact | {"id": made}
        for later in self.outbox.values():
            if later.get("supersedes") == fact["id"]:
                later["supersedes"] = made

    def pull(self, *, limit: int = 500) -> bool:
        """One page of the match's facts; whether there is more to ask for."""
        query = {"match": self.match.pk, "after": self.cursor, "limit": limit}
        response = self.client.get(URL, query)
        if response.status_code == 404:
            return False
        page = response.json()
        if self.epoch != page["epoch"]:
            self.outbox, self.sent = self.sent | self.outbox, {}
        if self.epoch and self.epoch != page["epoch"]:
            self.pulled, self.cursor, self.epoch = {}, "", page["epoch"]
            return True
        self.pulled |= {fact["id"]: fact for fact in page["facts"]}
        self.cursor, self.epoch = page["next"], page["epoch"]
        return bool(page["more"])

    def sync(self) -> None:
        """Push, pull, and push what the pull asked for; it ends in a bounded number of rounds."""
        for _round in range(ROUNDS_MOST):
            if self.outbox:
                self.take_in(self.push(list(self.outbox.values())[:500]))
            elif not self.pull() and not self.outbox:
                return
        raise AssertionError("it goes round for ever")
