"""What a phone signs when it hands one of its facts to a mate's phone: the exact bytes."""

from __future__ import annotations

from uuid import UUID

# Says what the signature is for, so that one made for this is never one for anything else.
LABEL = "drawbag carried fact 1"


def carried_message(*, fact: UUID, device: UUID, person: int, digest: str) -> bytes:
    """Five lines in ASCII with a line feed between each two and none at the end.

    `LABEL`; the fact's id and its device's, both in lower case with hyphens; the number of the
    person whose fact it is, in decimal digits; and `digest`, the SHA-256 of the fact's canonical
    JSON in 64 lower-case hex digits. The signature over them is ECDSA on P-256 with SHA-256
    (FIPS 186-5, section 6): r and s of 32 bytes each, one after the other.

    The phone's counterpart is `web/bank/shell/canonical.js`; `tests/cases/carried.json` holds both
    to the same bytes.
    """
    return "\n".join((LABEL, str(fact), str(device), str(person), digest)).encode("ascii")
