"""How often somebody may ask: so many times in so long, for each address or sign-in name, kept in memory."""

from __future__ import annotations

import ipaddress
import math
import time
from collections import deque
from collections.abc import Callable
from threading import Lock

KEPT_COUNT = 20_000


class Limit:
    """At most `most_count` times within `within_s` for each key."""

    def __init__(self, most_count: int, within_s: float, clock: Callable[[], float] = time.monotonic) -> None:
        self._most, self._within_s, self._clock = most_count, within_s, clock
        self._taken: dict[str, deque[float]] = {}
        self._lock = Lock()

    def take(self, key: str) -> int:
        """Take one turn: 0 if there is one, else after how many seconds there is one again."""
        with self._lock:
            now = self._clock()
            turns = self._taken.pop(key, deque())
            while turns and turns[0] <= now - self._within_s:
                turns.popleft()
            self._taken[key] = turns  # the newest last
            if len(turns) >= self._most:
                return max(1, math.ceil(turns[0] + self._within_s - now))
            turns.append(now)
            while len(self._taken) > KEPT_COUNT:
                del self._taken[next(iter(self._taken))]
            return 0

    def give_back(self, key: str) -> None:
        """Give the newest turn back, for what should not count."""
        with self._lock:
            if self._taken.get(key):
                self._taken[key].pop()


class Limits:
    """The limits of a server that others can reach."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self.asked = Limit(600, 60, clock)
        self.sign_in_from = Limit(10, 15 * 60, clock)
        self.sign_in_as = Limit(20, 15 * 60, clock)


def address_key(address: str) -> str:
    """What counts as one address: an IPv6 one by its network, for a machine has as many of those as it likes."""
    try:
        found = ipaddress.ip_address(address.split("%")[0])
    except ValueError:
        return address
    if isinstance(found, ipaddress.IPv6Address):
        if found.ipv4_mapped:
            return str(found.ipv4_mapped)
        return str(ipaddress.ip_network((found, 64), strict=False))
    return str(found)
