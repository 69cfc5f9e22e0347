"""The cache that all processes share; while it is away, everybody does without it."""

from __future__ import annotations

import json
import logging
import time
from collections.abc import Callable
from typing import Any, Final

from django.core.cache.backends.redis import RedisCache
from redis.backoff import NoBackoff
from redis.exceptions import RedisError
from redis.retry import Retry

ANSWER_SECONDS: Final = 0.3
LEFT_ALONE_SECONDS: Final = 5.0
log = logging.getLogger(__name__)


class PlainJson:
    """What is kept is JSON: who can write to Redis can make no process run anything."""

    def dumps(self, value: Any) -> bytes:
        return json.dumps(value).encode()

    def loads(self, kept: bytes) -> Any:
        return json.loads(kept)


class SharedCache(RedisCache):
    """Django's cache on Redis, which counts for nothing while Redis does not answer.

    Then nothing is found and nothing kept: throttles let through, no request fails for it, and
    the log says so. After a failure it is left alone for some seconds, so that not every request
    waits in vain.
    """

    away_until = 0.0

    def __init__(self, server: str, params: dict[str, Any]) -> None:
        options = {
            "serializer": PlainJson,
            "socket_connect_timeout": ANSWER_SECONDS,
            "socket_timeout": ANSWER_SECONDS,
            "retry": Retry(NoBackoff(), 0),
        }
        super().__init__(server, params | {"OPTIONS": options})

    def _reached(self, act: Callable[[], Any], otherwise: Any) -> Any:
        if time.monotonic() < SharedCache.away_until:
            return otherwise
        try:
            return act()
        except (RedisError, OSError) as error:
            SharedCache.away_until = time.monotonic() + LEFT_ALONE_SECONDS
            log.warning("The shared cache is away, throttles let through: %s", error)
            return otherwise

    def add(self, *given: Any, **named: Any) -> bool:
        return bool(self._reached(lambda: super(SharedCache, self).add(*given, **named), True))

    def get(self, key: str, default: Any = None, version: int | None = None) -> Any:
        return self._reached(lambda: super(SharedCache, self).get(key, default, version), default)

    def set(self, *given: Any, **named: Any) -> None:
        self._reached(lambda: super(SharedCache, self).set(*given, **named), None)

    def touch(self, *given: Any, **named: Any) -> bool:
        return bool(self._reached(lambda: super(SharedCache, self).touch(*given, **named), False))

    def delete(self, *given: Any, **named: Any) -> bool:
        return bool(self._reached(lambda: super(SharedCache, self).delete(*given, **named), False))

    def get_many(self, *given: Any, **named: Any) -> dict[str, Any]:
        found = self._reached(lambda: super(SharedCache, self).get_many(*given, **named), {})
        return dict(found)

    def has_key(self, *given: Any, **named: Any) -> bool:
        return bool(self._reached(lambda: super(SharedCache, self).has_key(*given, **named), False))

    def incr(self, key: str, delta: int = 1, version: int | None = None) -> int:
        return int(self._reached(lambda: super(SharedCache, self).incr(key, delta, version), delta))

    def set_many(self, *given: Any, **named: Any) -> list[str]:
        return list(self._reached(lambda: super(SharedCache, self).set_many(*given, **named), []))

    def delete_many(self, *given: Any, **named: Any) -> None:
        self._reached(lambda: super(SharedCache, self).delete_many(*given, **named), None)

    def clear(self) -> None:
        self._reached(lambda: super(SharedCache, self).clear(), None)
