"""What a kit consists of: do its parts exist in these roles and numbers, what do they cost, when are they
there?
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from itertools import product

from catalog.resolver.checker.figures import hands
from catalog.resolver.checker.ground import Ground
from catalog.resolver.checker.power import switches_wanted
from catalog.resolver.kits import Core, Fill, Kit, Stack
from catalog.resolver.parts import Drive, Hand, Power


def core_faults(ground: Ground, core: Core) -> Iterator[str]:
    """Why a core is none that the question may be answered with; nothing if it is one."""
    catalog = ground.catalog
    roles = (
        (core.adapter, catalog.adapters),
        (core.shaft, catalog.shafts),
        (core.drive, catalog.drives),
        *([(core.handing_kit, catalog.handing_kits)] if core.handing_kit else []),
    )
    missing = [sku for sku, known in roles if sku not in known or sku not in catalog.parts]
    yield from (f"the catalog has no part {sku!r} for this place in a kit" for sku in missing)
    if missing:
        return
    drive = catalog.drives[core.drive]
    if drive.power is not Power.ELECTRIC:
        yield f"{core.drive} is not electric"
    if not wished(ground, drive, core.hand):
        yield f"{core.drive} in hand {core.hand.value} is not what is wished for"
    if (core.hand, core.handing_kit) not in hands(ground, drive):
        yield f"{core.drive} is not to be had in hand {core.hand.value} with {core.handing_kit or 'no kit'}"


def kit_faults(ground: Ground, kit: Kit) -> Iterator[str]:
    """Why a kit is none that may be listed; what mates with what is left to the figures of reach."""
    core = list(core_faults(ground, kit.core))
    if core:
        yield from core
        return
    yield from _stack_faults(ground, kit.stack)
    fill, catalog = kit.fill, ground.catalog
    roles = (
        (fill.controller, catalog.controllers),
        (fill.breaker, catalog.breakers),
        (fill.switch, catalog.switches),
    )
    for sku, known in roles:
        if sku not in known or sku not in catalog.parts:
            yield f"the catalog has no part {sku!r} for this place in a kit"
    switch = catalog.switches.get(fill.switch)
    if switch is not None and fill.switches != switches_wanted(ground, switch):
        yield f"{fill.switches} of {fill.switch} do not give exactly the inputs wanted"


def _stack_faults(ground: Ground, stack: Stack) -> Iterator[str]:
    spacers = ground.catalog.spacers
    unknown = [sku for sku, _ in stack.spacers if sku not in spacers or sku not in ground.catalog.parts]
    yield from (f"the catalog has no spacer {sku!r}" for sku in unknown)
    skus = [sku for sku, _ in stack.spacers]
    if skus != sorted(set(skus)) or any(count < 1 for _, count in stack.spacers):
        yield "its spacers are not each counted once"
    if not unknown and stack.thickness_um != thickness_um(ground, stack):
        yield f"its stack is {thickness_um(ground, stack)} µm thick, not {stack.thickness_um}"


def thickness_um(ground: Ground, stack: Stack) -> int:
    return sum(ground.catalog.spacers[sku].thickness_um * count for sku, count in stack.spacers)


def wished(ground: Ground, drive: Drive, hand: Hand) -> bool:
    wishes = ground.question.wishes
    right_type = wishes.drive in ("any", drive.drive_type.value)
    return right_type and (hand is Hand.NONE or wishes.hand in ("any", hand.value))


# --- everything that could complete a core ----------------------------------------


def stacks(ground: Ground, drive: Drive) -> Iterator[Stack]:
    """Every stack that the drive's flange allows, the empty one first."""
    flange = ground.catalog.flanges[drive.flange]
    spacers = sorted(
        (one for one in ground.catalog.spacers.values() if one.flange == flange.code), key=lambda one: one.sku
    )

    def grown(at: int, number: int, thickness: int, chosen: tuple[tuple[str, int], ...]) -> Iterator[Stack]:
        yield Stack(chosen, thickness)
        for index in range(at, len(spacers)):
            spacer = spacers[index]
            for count in range(1, min(spacer.max_count, flange.max_spacers - number) + 1):
                thicker = thickness + count * spacer.thickness_um
                if thicker > flange.max_stack_um:
                    break
                yield from grown(index + 1, number + count, thicker, (*chosen, (spacer.sku, count)))

    return grown(0, 0, 0, ())


def fills(
    ground: Ground,
    controllers: Collection[str] | None = None,
    breakers: Collection[str] | None = None,
    switches: Collection[str] | None = None,
) -> Iterator[Fill]:
    """Every combination of the devices, all of the catalog's where none are named."""
    catalog = ground.catalog
    slots = (
        catalog.controllers if controllers is None else controllers,
        catalog.breakers if breakers is None else breakers,
        catalog.switches if switches is None else switches,
    )
    for controller, breaker, switch in product(*slots):
        yield Fill(controller, breaker, switch, switches_wanted(ground, catalog.switches[switch]))


# --- price and lead time ----------------------------------------


def price_minor(ground: Ground, lines: Iterable[tuple[str, int]]) -> int | None:
    """What (SKU, quantity) cost together at the question's date and currency; None: one has no price."""
    total = 0
    for sku, quantity in lines:
        each = _price_each(ground, sku)
        if each is None:
            return None
        total += quantity * each
    return total


def _price_each(ground: Ground, sku: str) -> int | None:
    """The latest price begun by the question's date."""
    begun = {
        price.valid_from: price.amount_minor
        for price in ground.catalog.parts[sku].prices
        if price.currency == ground.question.wishes.currency and price.valid_from <= ground.question.as_of
    }
    return begun[max(begun)] if begun else None


def lead_time_days(ground: Ground, kit: Kit) -> int | None:
    """The longest lead time of its parts; None when that of one is unknown."""
    longest = 0
    for sku, _ in kit.lines():
        days = ground.catalog.parts[sku].lead_time_days
        if days is None:
            return None
        longest = max(longest, days)
    return longest


def named(kit: Kit) -> str:
    """A kit in a sentence."""
    return " + ".join(sku if count == 1 else f"{count} x {sku}" for sku, count in kit.lines())
