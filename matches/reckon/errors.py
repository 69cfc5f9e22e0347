"""How reckoning refuses: a list of what is wrong, each with where it stands in the input."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with an input.

    `pointer` is an RFC 6901 JSON pointer into the request ("" is the whole of it);
    `message` is a sentence that says what to do about it.
    """

    pointer: str
    message: str


class BadInput(ValueError):
    """The input cannot be reckoned with. Nothing was computed and nothing changed."""

    def __init__(self, *faults: Fault) -> None:
        if not faults:
            raise ValueError("BadInput needs at least one fault")
        super().__init__("; ".join(f"{f.pointer or '/'}: {f.message}" for f in faults))
        self.faults = faults


def pointer(*parts: str | int) -> str:
    """The RFC 6901 JSON pointer to `parts`, with ~ and / escaped (section 3).

    Half a character (a lone surrogate, which JSON can smuggle in) becomes "?", so that a pointer
    can always be sent as UTF-8.
    """
    text = "".join("/" + str(p).replace("~", "~0").replace("/", "~1") for p in parts)
    return text.encode("utf-8", "replace").decode()
