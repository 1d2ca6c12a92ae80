"""Changes to a small catalog or question that must not change the answer, or change it in a known way."""

from collections.abc import Mapping
from dataclasses import fields, replace
from datetime import date
from random import Random
from typing import Any

from catalog.resolver import parts
from catalog.resolver.parts import Box, Drive, DriveHand, Hand, PartKind

Json = dict[str, Any]

TURN_DDEG = 3_600
SWAPPED = {"left": "right", "right": "left"}
ELSEWHERE = "elsewhere"


def mirror(catalog: parts.Catalog, question: Json) -> tuple[parts.Catalog, Json]:
    """The mirrored boat with the mirrored parts, seen along bearing 0.

    Solids are stored for the right hand, so that a handed drive is mirrored by its hand alone; only the
    solids of a drive without a hand are mirrored themselves.
    """
    drives = {sku: _mirrored_drive(drive) for sku, drive in catalog.drives.items()}
    mirrored = {name: dict(value) if isinstance(value, dict) else value for name, value in question.items()}
    survey, wishes = mirrored["survey"], mirrored["wishes"]
    if survey.get("free_radius"):
        survey["free_radius"] = [_mirrored_sector(sector) for sector in survey["free_radius"]]
    if survey.get("datum_bearing"):
        datum = survey["datum_bearing"]
        survey["datum_bearing"] = {**datum, "value": -datum["value"] % 360}
    if wishes.get("hand"):
        wishes["hand"] = SWAPPED.get(wishes["hand"], wishes["hand"])
    return replace(catalog, drives=drives), mirrored


def _mirrored_sector(sector: Json) -> Json:
    if (sector["to"] - sector["from"]) % 360 == 0:
        return sector
    # A bearing may be given as 0 or 360; as the end of a sector it has to stay behind the start.
    return {**sector, "from": -sector["to"] % 360, "to": -sector["from"] % 360}


def _mirrored_drive(drive: Drive) -> Drive:
    solids = drive.solids
    if drive.hand is DriveHand.NONE:
        solids = tuple(_mirrored_solid(solid) for solid in solids)
    return replace(
        drive,
        hand=DriveHand(SWAPPED.get(drive.hand, drive.hand)),
        supplied_hand=Hand(SWAPPED.get(drive.supplied_hand, drive.supplied_hand)),
        solids=solids,
        clockings_ddeg=tuple(sorted(_mirrored_arc(*arc) for arc in drive.clockings_ddeg)),
        rotations_ddeg=tuple(sorted(-rotation % TURN_DDEG for rotation in drive.rotations_ddeg)),
    )


def _mirrored_solid(solid: parts.Solid) -> parts.Solid:
    if isinstance(solid, Box):
        return replace(solid, y_from_um=-solid.y_to_um, y_to_um=-solid.y_from_um)
    return replace(solid, y_um=-solid.y_um)


def _mirrored_arc(start: int, end: int) -> tuple[int, int]:
    return (-end % TURN_DDEG, -start % TURN_DDEG)


def shuffle(rng: Random, catalog: parts.Catalog) -> parts.Catalog:
    """The same catalog with every mapping and every list of rows in another order."""
    changed: dict[str, Any] = {}
    for one in fields(catalog):
        value = getattr(catalog, one.name)
        if isinstance(value, Mapping):
            changed[one.name] = dict(rng.sample(list(value.items()), len(value)))
        else:
            changed[one.name] = tuple(rng.sample(value, len(value)))
    return replace(catalog, **changed)


def with_strangers(rng: Random, catalog: parts.Catalog) -> parts.Catalog:
    """The same catalog with parts that mate with nothing in it, some of them cheaper than all others.

    A stranger has interfaces of its own; what has no interface (controllers, breakers, switches) gets no
    stranger, since it would not be one.
    """
    kinds = (PartKind.ADAPTER, PartKind.SHAFT, PartKind.DRIVE, PartKind.HANDING_KIT, PartKind.SPACER)
    skus = [f"STRANGER-{kind.value.upper()}" for kind in kinds]
    adapter_sku, shaft_sku, drive_sku, handing_kit_sku, spacer_sku = skus
    articles = {
        sku: parts.Part(sku, kind, "Stranger", "maker", prices=_cheap(rng))
        for sku, kind in zip(skus, kinds, strict=True)
    }
    base, flange = next(iter(catalog.base_patterns.values())), next(iter(catalog.flanges.values()))
    adapter, shaft = next(iter(catalog.adapters.values())), next(iter(catalog.shafts.values()))
    drive = replace(next(iter(catalog.drives.values())), sku=drive_sku, flange=ELSEWHERE, coupling=ELSEWHERE)
    adapter = replace(adapter, sku=adapter_sku, bases=frozenset({ELSEWHERE}), flange=ELSEWHERE)
    windows = tuple(replace(window, spindle=ELSEWHERE, coupling=ELSEWHERE) for window in shaft.windows)
    handing_kit = parts.HandingKit(handing_kit_sku, frozenset({drive_sku}), reverses_rotation=False)
    spacer = parts.Spacer(spacer_sku, ELSEWHERE, rng.randint(1, 6) * 1_000, 2)
    return replace(
        catalog,
        parts=articles | dict(catalog.parts),
        base_patterns={ELSEWHERE: replace(base, code=ELSEWHERE), **catalog.base_patterns},
        flanges={ELSEWHERE: replace(flange, code=ELSEWHERE), **catalog.flanges},
        adapters={adapter_sku: adapter, **catalog.adapters},
        shafts={shaft_sku: replace(shaft, sku=shaft_sku, windows=windows), **catalog.shafts},
        drives={drive_sku: drive, **catalog.drives},
        handing_kits={handing_kit_sku: handing_kit, **catalog.handing_kits},
        spacers={spacer_sku: spacer, **catalog.spacers},
    )


def _cheap(rng: Random) -> tuple[parts.Price, ...]:
    return (parts.Price("EUR", date(2020, 1, 1), rng.choice((1, 100, 100_000))),)
