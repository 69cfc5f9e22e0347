"""Signatures of messages against the specification's own published vector.

Source: https://github.com/standard-webhooks/standard-webhooks, the signing test that the reference
libraries share (libraries/go/webhook_test.go and its like in the other languages).
"""

from __future__ import annotations

import base64

from web.webhooks.sending import signed_headers


def test_a_message_is_signed_as_the_standard_webhooks_specification_does() -> None:
    headers = signed_headers(
        base64.b64decode("MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw"),
        message_id="msg_p5jXN8AQM9LWM0D4loKWxJek",
        at=1614265330,
        body=b'{"test": 2432232314}',
    )
    assert headers == {
        "webhook-id": "msg_p5jXN8AQM9LWM0D4loKWxJek",
        "webhook-timestamp": "1614265330",
        "webhook-signature": "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=",
    }
