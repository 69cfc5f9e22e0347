"""What Chromium is asked by tests/browser as well is asked here of the other engines alone."""

from __future__ import annotations

import pytest

from tests.engines.engines import ENGINES
from tests.thorough import IN_FULL

#: Marks a test of which tests/browser has the like; `make thorough` asks all three engines.
of_the_others = pytest.mark.parametrize(
    "engine",
    [engine for engine in ENGINES if IN_FULL or engine.name != "chromium"],
    ids=lambda engine: engine.name,
    indirect=True,
)
