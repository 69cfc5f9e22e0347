"""Signatures of phones, ECDSA on P-256 with SHA-256: the one file that knows the library."""

from __future__ import annotations

import base64
import binascii

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature
from cryptography.hazmat.primitives.hashes import SHA256

KEY_BYTES = 65
SIGNATURE_BYTES = 64


def bytes_read(text: str, *, length: int) -> bytes | None:
    """`length` bytes from base64url without padding (RFC 4648, section 5), or None.

    Only the one way to write them: the text of a key is its name.
    """
    try:
        read = base64.b64decode(text + "=" * (-len(text) % 4), altchars=b"-_", validate=True)
    except (binascii.Error, ValueError):
        return None
    same = base64.urlsafe_b64encode(read).decode().rstrip("=") == text
    return read if same and len(read) == length else None


def is_public_key(text: str) -> bool:
    """Whether `text` is a point of the curve, uncompressed (SEC 1, section 2.3.3)."""
    return _key_read(text) is not None


def signature_fits(public_key: str, *, signature: str, message: bytes) -> bool:
    """Whether the holder of the key signed just these bytes. Anything unreadable does not fit."""
    key = _key_read(public_key)
    pair = bytes_read(signature, length=SIGNATURE_BYTES)
    if key is None or pair is None:
        return False
    r, s = int.from_bytes(pair[:32]), int.from_bytes(pair[32:])
    try:
        key.verify(encode_dss_signature(r, s), message, ec.ECDSA(SHA256()))
    except InvalidSignature:
        return False
    return True


def _key_read(text: str) -> ec.EllipticCurvePublicKey | None:
    point = bytes_read(text, length=KEY_BYTES)
    if point is None:
        return None
    try:
        return ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), point)
    except ValueError:
        return None
