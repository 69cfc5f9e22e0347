"""Copies of everything a club keeps, each one file, and putting one back.

What is kept is the database: nothing people enter lies in files beside it. The secret key is never
in a copy, so whoever finds one cannot sign in as anybody; under another key people sign in again.
"""

from .putting_back import copy_put_back
from .taking import copies_in, copies_thin, copy_take
from .whole import CopyFault, copy_prove

__all__ = ["CopyFault", "copies_in", "copies_thin", "copy_prove", "copy_put_back", "copy_take"]
