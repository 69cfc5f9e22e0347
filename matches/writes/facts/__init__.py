"""Facts handed in by phones and desks: checked, stored once each, and what stands because of them.

Any order, any number of times, from any device: the same facts end in the same standing.
"""

from .bodies import BodyCheck, match_body_checks
from .desk import fact_log_at_desk
from .devices import device_seen
from .outcomes import Outcome, Rival, Verdict
from .projection import weigh_ins_project
from .store import facts_store

__all__ = [
    "BodyCheck",
    "Outcome",
    "Rival",
    "Verdict",
    "device_seen",
    "fact_log_at_desk",
    "facts_store",
    "match_body_checks",
    "weigh_ins_project",
]
