"""Random solids round an axis, and sectors round them, for tests of the geometry. Lengths in µm."""

from random import Random

from catalog.resolver.parts import Box, Cylinder, Solid
from shared.intervals import Arc


def some_solids(rng: Random) -> tuple[Solid, ...]:
    """One to three solids, round the axis, beside it or touching it."""
    return tuple(some_solid(rng) for _ in range(rng.randint(1, 3)))


def some_solid(rng: Random) -> Solid:
    """A box or cylinder up to 400 mm out, on whole millimetres or not."""
    unit = rng.choice((1, 1_000, 1_000))

    def length(low_mm: int, high_mm: int) -> int:
        return rng.randint(low_mm * 1_000 // unit, high_mm * 1_000 // unit) * unit

    x, y = rng.choice(((0, 0), (length(-150, 150), length(-150, 150)), (length(0, 150), 0)))
    if rng.random() < 0.5:
        return Cylinder(x, y, length(20, 200), 0, 1_000)
    return Box(x - length(0, 60), x + length(1, 200), y - length(0, 60), y + length(1, 120), 0, 1_000)


def some_arc(rng: Random) -> Arc:
    """A single bearing, a narrow or a wide stretch, or the whole circle; often of whole degrees."""
    unit = rng.choice((1, 10, 300))
    length = rng.choice((0, rng.randint(1, 90), rng.randint(90, 1_800), rng.randint(1_800, 3_598), 3_600))
    return Arc(rng.randrange(3_600) // unit * unit, length // unit * unit)
