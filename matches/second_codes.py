"""Codes that change each half minute, worked out from a secret (RFC 6238), and how it is kept.

The secret lies encrypted under a key derived from SECRET_KEY: who reads the database alone, or a
copy of it, signs in with none of them. Under another SECRET_KEY they are unreadable, and whoever
runs the site takes the second factor off who cannot sign in.
"""

from __future__ import annotations

import base64
from hmac import compare_digest

import pyotp
from cryptography.fernet import Fernet, InvalidToken
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from django.conf import settings

STEP_SECONDS = 30
DIGITS = 6
SLACK = 1  # steps that a phone's clock may be off


def secret_make() -> str:
    """160 bits in base32, as many as the hash has (RFC 4226, section 4, R6)."""
    return pyotp.random_base32(32)


def secret_lock(secret: str) -> str:
    return _box().encrypt(secret.encode()).decode()


def secret_open(locked: str) -> str | None:
    """None where SECRET_KEY is not the one it was locked under."""
    try:
        return _box().decrypt(locked.encode()).decode()
    except InvalidToken:
        return None


def step_of(code: str, *, secret: str, at: int, after: int) -> int | None:
    """The half minute whose code this is: that of `at` (seconds since 1970) or one beside it, if
    later than the step `after`; None where there is none."""
    codes, now, fits = pyotp.TOTP(secret, digits=DIGITS), at // STEP_SECONDS, None
    for step in range(max(now - SLACK, after + 1, 0), now + SLACK + 1):
        if compare_digest(codes.generate_otp(step).encode(), code.encode()):
            fits = step
    return fits


def address_for_app(secret: str, *, name: str, site: str) -> str:
    """What an app reads from the picture: an otpauth address, a convention of such apps."""
    return pyotp.TOTP(secret, digits=DIGITS).provisioning_uri(name=name, issuer_name=site)


def _box() -> Fernet:
    key = HKDF(algorithm=SHA256(), length=32, salt=None, info=b"matches.second_factor")
    return Fernet(base64.urlsafe_b64encode(key.derive(settings.SECRET_KEY.encode())))
