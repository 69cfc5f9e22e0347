"""The site keeper's view of clubs, waters, matches and facts. Superusers only.

What was logged or published is shown and never changed here: a correction goes the way everybody's
does, so that it leaves its trace.
"""

from . import matches, people, records, results

__all__ = ["matches", "people", "records", "results"]
