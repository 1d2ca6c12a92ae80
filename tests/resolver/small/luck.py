"""What the drawing of small catalogs and questions rests on: lattice, interfaces, and luck by percent."""

from dataclasses import dataclass
from datetime import date
from random import Random

AS_OF = date(2026, 6, 1)
MM = 1_000
DECK_MM = 30
"""About what every deck of these questions is thick."""

FLANGES = ("flange-a", "flange-b")
COUPLINGS = ("coupling-a", "coupling-b")
SPINDLES = ("spindle-a", "spindle-b")
BASES = ("base-a", "base-b")
VOLTS = (12, 24, 48)
TURN_DDEG = 3_600


def chance(rng: Random, percent: float) -> bool:
    return rng.random() * 100 < percent


@dataclass(frozen=True)
class Luck:
    """How often (in percent) what decides alone turns out bad; drawn once for a whole catalog.

    A dozen figures can each fail a kit, so the same bad luck for all catalogs would leave hardly any yes.
    """

    rng: Random
    bad: int

    def figure[T](self, good: tuple[T, ...], bad: tuple[T, ...]) -> T:
        return self.rng.choice(bad if chance(self.rng, self.bad) else good)

    def usual(self, choices: tuple[str, ...]) -> str:
        """The first of ``choices`` most of the time, so that things mate often and not always."""
        return self.figure(choices[:1] * 60 + choices[1:], choices[1:])

    def several(self, choices: tuple[str, ...]) -> frozenset[str]:
        """The usual one, and each of the others sometimes."""
        return frozenset({self.usual(choices)} | {one for one in choices[1:] if chance(self.rng, 40)})
