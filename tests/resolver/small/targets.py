"""What a small question is drawn around: parts that mate, and the decks that they take."""

from dataclasses import dataclass
from itertools import product
from random import Random

from catalog.resolver import parts
from catalog.resolver.parts import Drive, Mounting
from tests.resolver.small.luck import chance


@dataclass(frozen=True)
class Target:
    """What a question is drawn around; lengths in whole mm.

    ``band`` is where one kit takes the deck, ``further`` where another one takes over (the same without one).
    """

    run: parts.Run
    adapter: parts.Adapter
    shaft: parts.Shaft
    drive: Drive
    band: tuple[int, int]
    further: tuple[int, int]
    datum: int
    depth: int


def draw_target(rng: Random, catalog: parts.Catalog) -> Target:
    """A mating set of parts where there is one, the first that comes otherwise."""
    choices = product(
        catalog.runs.values(), catalog.adapters.values(), catalog.shafts.values(), catalog.drives.values()
    )
    everything = list(choices)
    mating = [choice for choice in everything if _mates(*choice)]
    run, adapter, shaft, drive = rng.choice(mating or everything)
    bands = [
        (band, stack)
        for other in catalog.adapters.values()
        if other.sku == adapter.sku or _mates(run, other, shaft, drive)
        for stack in _stacks(catalog, drive.flange)
        if (band := _band(run, other, shaft, drive, stack))[1] >= 1
    ]
    # Pairs of kits of which the second takes over before the first gives up.
    relays = [
        (band, other, max(stack, thick))
        for band, stack in bands
        for other, thick in bands
        if band[0] < other[0] <= band[1] < other[1]
    ]
    alone = [(band, band, stack) for band, stack in bands] or [((1, 4), (1, 4), 0)]
    band, further, stack = rng.choice(relays if relays and chance(rng, 65) else alone)
    depth = drive.height_um + stack + drive.clearance_um
    if shaft.mounting is Mounting.CAPTIVE:
        depth = max(depth, drive.height_um + shaft.standing_height_um)
    return Target(run, adapter, shaft, drive, band, further, 10 * rng.randrange(36), depth // 1_000)


def _band(
    run: parts.Run, adapter: parts.Adapter, shaft: parts.Shaft, drive: Drive, stack: int
) -> tuple[int, int]:
    """Between which whole mm of deck a shaft engages; a likely place where it mates with nothing."""
    window = next(
        (one for one in shaft.windows if (one.spindle, one.coupling) == (run.spindle, drive.coupling)),
        parts.ShaftWindow("", "", 40_000, 44_000),
    )
    taken = adapter.thickness_um + stack
    low, high = window.from_um + shaft.cut_min_um - taken, window.to_um + shaft.cut_max_um - taken
    return max(1, low // 1_000), high // 1_000


def _mates(run: parts.Run, adapter: parts.Adapter, shaft: parts.Shaft, drive: Drive) -> bool:
    return (
        run.base_pattern in adapter.bases
        and adapter.flange == drive.flange
        and any((one.spindle, one.coupling) == (run.spindle, drive.coupling) for one in shaft.windows)
    )


def _stacks(catalog: parts.Catalog, flange: str) -> list[int]:
    """How thick stacks of one sort of spacer can be, in µm."""
    bounds = catalog.flanges[flange]
    found = {0}
    for spacer in catalog.spacers.values():
        if spacer.flange == flange:
            count = min(spacer.max_count, bounds.max_spacers, bounds.max_stack_um // spacer.thickness_um)
            found |= {number * spacer.thickness_um for number in range(1, count + 1)}
    return sorted(found)
