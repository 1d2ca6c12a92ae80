"""Keeping the last few results of a costly computation, for all threads of a process."""

from collections import OrderedDict
from collections.abc import Callable
from threading import Lock


class _Place[V]:
    """Where one result will stand; its lock is held while it is made."""

    def __init__(self) -> None:
        self.lock = Lock()
        self.made: list[V] = []


class Remembered[K, V]:
    """The results of ``make`` by key; beyond ``most``, the one not asked for longest is forgotten.

    While one thread makes a result, others that ask for the same one wait for it and do not make it again;
    those that ask for another do not wait. When making fails, the next one that asks tries again.
    """

    def __init__(self, most: int) -> None:
        self.most = most
        self._lock = Lock()
        self._places: OrderedDict[K, _Place[V]] = OrderedDict()

    def get(self, key: K, make: Callable[[], V]) -> V:
        with self._lock:
            place = self._places.setdefault(key, _Place())
            self._places.move_to_end(key)
            while len(self._places) > self.most:
                self._places.popitem(last=False)
        with place.lock:
            if not place.made:
                place.made.append(make())
            return place.made[0]

    def forget(self) -> None:
        with self._lock:
            self._places.clear()

    def __contains__(self, key: K) -> bool:
        with self._lock:
            return key in self._places

    def __len__(self) -> int:
        with self._lock:
            return len(self._places)
