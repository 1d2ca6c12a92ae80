"""The six gates. Each judges one kit with one setting in one world and returns every figure it looked at.

A gate module has a function of its own name and ``READS``: for each field of a world that it reads, which
way makes it easier to pass. The search relies on these declarations; a property test moves one fact at a
time and fails where one is wrong.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from catalog.resolver.facts import Direction
from catalog.resolver.gates import duty, entry, era, feed, reach, space
from catalog.resolver.kits import Case, Check

Gate = Callable[[Case], list[Check]]

GATES: Mapping[str, Gate] = {
    "era": era.era,
    "reach": reach.reach,
    "space": space.space,
    "entry": entry.entry,
    "duty": duty.duty,
    "feed": feed.feed,
}

READS: Mapping[str, Mapping[str, Direction]] = {
    "era": era.READS,
    "reach": reach.READS,
    "space": space.READS,
    "entry": entry.READS,
    "duty": duty.READS,
    "feed": feed.READS,
}

NOT_CHECKED: Mapping[str, str] = {
    "slope": "slope-not-checked",
    "wiring": "wiring-not-checked",
    "battery": "battery-not-checked",
    "hydraulic": "hydraulic-not-checked",
}
"""What no gate looks at yet, and the code of the sentence that says so in every answer."""


class GatesClash(TypeError):
    """One gate reads a fact two-sided and another one-sided, which the search cannot decide exactly."""


def refuse_clashes(reads: Mapping[str, Mapping[str, Direction]]) -> None:
    """Raise ``GatesClash`` where gates declare the same measured fact in ways that exclude each other."""
    seen: dict[str, Direction] = {}
    for gate, declared in reads.items():
        for fact, direction in declared.items():
            if seen.setdefault(fact, direction) is not direction:
                raise GatesClash(f"{gate} reads {fact} as {direction}, another gate as {seen[fact]}.")


def judge(case: Case) -> list[Check]:
    """Every check of every gate, in the order of the gates."""
    return [check for gate in GATES.values() for check in gate(case)]


def passes(case: Case) -> bool:
    return all(check.passed for gate in GATES.values() for check in gate(case))
