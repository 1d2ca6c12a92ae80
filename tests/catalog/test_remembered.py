"""Keeping the last few results: made once, by one thread, and forgotten in order."""

from contextlib import suppress
from threading import Barrier, BrokenBarrierError, Event, Thread

import pytest

from catalog.remembered import Remembered


def test_a_result_is_made_once() -> None:
    made: list[int] = []
    kept: Remembered[str, int] = Remembered(2)

    def make() -> int:
        made.append(1)
        return len(made)

    assert [kept.get("a", make), kept.get("a", make)] == [1, 1]


def test_the_one_not_asked_for_longest_is_forgotten() -> None:
    kept: Remembered[str, str] = Remembered(2)
    for key in ("a", "b", "a", "c"):
        kept.get(key, lambda key=key: key)  # type: ignore[misc]
    assert [key in kept for key in "abc"] == [True, False, True]
    assert len(kept) == 2
    kept.forget()
    assert len(kept) == 0


def test_many_threads_wait_for_the_one_that_makes_it() -> None:
    kept: Remembered[str, object] = Remembered(2)
    together, two_at_once = Barrier(8), Barrier(2)
    made: list[object] = []
    found: list[object] = []

    def make() -> object:
        made.append(object())
        with suppress(BrokenBarrierError):
            two_at_once.wait(0.5)  # for a second one to come in, which must not be let in
        return made[-1]

    def ask() -> None:
        together.wait()
        found.append(kept.get("a", make))

    threads = [Thread(target=ask) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(made) == 1
    assert found == made * 8


def test_making_one_does_not_hold_up_another() -> None:
    kept: Remembered[str, str] = Remembered(2)
    begun, go_on = Event(), Event()

    def slowly() -> str:
        begun.set()
        assert go_on.wait(30)
        return "slow"

    thread = Thread(target=lambda: kept.get("slow", slowly))
    thread.start()
    assert begun.wait(30)
    assert kept.get("quick", lambda: "quick") == "quick"
    go_on.set()
    thread.join()
    assert kept.get("slow", lambda: "made again") == "slow"


def test_what_failed_is_tried_again() -> None:
    kept: Remembered[str, str] = Remembered(2)
    with pytest.raises(ZeroDivisionError):
        kept.get("a", lambda: str(1 // 0))
    assert kept.get("a", lambda: "now") == "now"
