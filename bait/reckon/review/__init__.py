"""What one match says afterwards: when the catch changed, and how fast it came."""

from .changes import Block, Change, Fish, blocks_find, changes_between

__all__ = ["Block", "Change", "Fish", "blocks_find", "changes_between"]
