"""A thing done at once, with its way back beside the sentence that says so.

Nothing is asked twice. What can be taken back is done, and the message has one button, Undo: it
sends to the page that owns the act the very press that takes it back, so rights, refusals and the
trail's row are that press's own; pressed twice it does nothing more, and without JavaScript too.

| done | Undo sends |
|---|---|
| a shop, pack or peg retired | "bring back" |
| the example shop removed | the example again |
| a match called off | "it is fished" |
| an angler marked absent, retired, entered | the mark before |
| a weigher or captain named, or taken back | the other of the two |
| one plan given to several of a team | the plans that stood before, kept in the session |
| an order placed, received, bagged or settled | the step back |

A template taken out of a team's plans is brought back on the plan's own page. What cannot be taken
back says so where it is pressed: a commitment, a draw and a bulletin are public at once and only
followed by another; a person erased is gone; an ended link or token is made anew.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field

from django.contrib import messages
from django.http import HttpRequest


@dataclass(frozen=True, slots=True)
class Done:
    """What to say of what was done, and the press that takes it back: `fields` sent to `at`."""

    said: str
    at: str
    fields: dict[str, str] = field(default_factory=dict)


def done_say(request: HttpRequest, done: str | Done) -> None:
    """Say it on the next page, with Undo where there is a way back."""
    if isinstance(done, str):
        messages.success(request, done)
        return
    undo = json.dumps({"at": done.at, "fields": done.fields})
    messages.success(request, done.said, extra_tags=undo)
