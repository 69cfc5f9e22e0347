"""Our check of signatures against the published examples of ECDSA on P-256 with SHA-256."""

from __future__ import annotations

import base64

import pytest

from matches.writes.facts.signatures import is_public_key, signature_fits

# RFC 6979, appendix A.2.5, "ECDSA, 256 Bits (Prime Field)": the public key, and the signatures of
# "sample" and "test" with SHA-256.
UX = "60FED4BA255A9D31C961EB74C6356D68C049B8923B61FA6CE669622E60F29FB6"
UY = "7903FE1008B8BC99A41AE9E95628BC64F2F1B20C2D7E9F5177A3C294D4462299"
SIGNED = {
    b"sample": (
        "EFD48B2AACB6A8FD1140DD9CD45E81D69D2C877B56AAF991C34D0EA84EAF3716",
        "F7CB1C942D657C41D436C7A1B6E29F65F3E900DBB9AFF4064DC4AB2F843ACDA8",
    ),
    b"test": (
        "F1ABB023518351CD71D881567B1EA663ED3EFCF6C5132B354F28D3B0B7D38367",
        "019F4113742A2B14BD25926B49C649155F267E60D3814B4C0CC84250E46F0083",
    ),
}


def base64url(*hexed: str) -> str:
    raw = b"".join(bytes.fromhex(part) for part in hexed)
    return base64.urlsafe_b64encode(raw).decode().rstrip("=")


KEY = base64url("04", UX, UY)


def test_the_published_key_is_a_point_of_the_curve() -> None:
    assert is_public_key(KEY)
    assert not is_public_key(base64url("04", UY, UX))


@pytest.mark.parametrize("message", SIGNED, ids=lambda m: m.decode())
def test_the_published_signatures_fit_their_messages_and_no_other(message: bytes) -> None:
    signature = base64url(*SIGNED[message])
    assert signature_fits(KEY, signature=signature, message=message)
    for other in (message + b" ", message[:-1], *(m for m in SIGNED if m != message)):
        assert not signature_fits(KEY, signature=signature, message=other)


@pytest.mark.parametrize("bit", [0, 7, 255, 256, 300, 511])
def test_one_bit_of_a_published_signature_turned_fits_no_more(bit: int) -> None:
    turned = int("".join(SIGNED[b"sample"]), 16) ^ 1 << bit
    assert not signature_fits(KEY, signature=base64url(f"{turned:0128x}"), message=b"sample")


def test_a_signature_of_noughts_or_of_the_curves_order_fits_nothing() -> None:
    order = "FFFFFFFF00000000FFFFFFFFFFFFFFFFBCE6FAADA7179E84F3B9CAC2FC632551"  # SEC 2, 2.4.2
    nought = "00" * 32
    for r, s in [(nought, nought), (order, order), (nought, order), SIGNED[b"test"][::-1]]:
        assert not signature_fits(KEY, signature=base64url(r, s), message=b"sample")
