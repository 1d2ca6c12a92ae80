"""Large invented catalogs, seeded, with the figures of real work on deck winches and names that mean nothing.

The catalog is made of *groups*: a flange with its drives, shafts, spacers and handing kits, and the winch
models whose adapters end in it. Two neighbouring groups share their spindles, and some models have an
adapter to each of the two flanges. With ``bounded`` fan-out a group is as wide at every size of catalog,
between half of and all of 4 adapters per model, 12 drives, 6 shafts and 20 stacks per flange; a larger
catalog has more groups. With ``growing`` fan-out groups widen with the fourth root of the size, so that a
model's candidates multiply from 1,000 to 100,000 parts about thirtyfold.

>>> small = big_catalog(1_000, seed=1)
>>> small == big_catalog(1_000, seed=1)
True
>>> 1_000 <= len(small.parts) < 1_100
True
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from itertools import pairwise
from math import isqrt
from random import Random
from typing import Literal

from benchmarks.generate_drives import drive
from catalog.resolver import parts
from catalog.resolver.parts import DriveHand, Mounting, PartKind

FanOut = Literal["bounded", "growing"]

MM = 1_000
AS_OF = date(2026, 6, 1)
HANDLE_MM = 254
"""The handle that size numbers and gear ratios are quoted for (common practice)."""

LOAD_PER_SIZE_N = 250
MODELS_PER_GROUP = 5
ADAPTERS, DRIVES, SHAFTS, SPACERS = 4, 12, 6, 3
SIZE_OF_REFERENCE = 1_000


@dataclass(frozen=True, slots=True)
class Widths:
    """How many of each belong together at most; a group has between half as many and all of them."""

    adapters: int
    drives: int
    shafts: int
    spacers: int

    @classmethod
    def of(cls, size: int, fan_out: FanOut) -> "Widths":
        factor = (size / SIZE_OF_REFERENCE) ** 0.25 if fan_out == "growing" else 1.0
        adapters, drives, shafts = (round(factor * one) for one in (ADAPTERS, DRIVES, SHAFTS))
        # The stacks of up to 3 pieces grow with the cube of the sorts: 3 sorts make 20, 4 make 35, 5 make 56.
        return cls(adapters, drives, shafts, spacers=round(factor ** (1 / 3) * SPACERS))


@dataclass(slots=True)
class Making:
    """A catalog in the making."""

    rng: Random
    articles: dict[str, parts.Part] = field(default_factory=dict)
    families: dict[str, parts.Family] = field(default_factory=dict)
    models: dict[str, parts.WinchModel] = field(default_factory=dict)
    runs: dict[str, parts.Run] = field(default_factory=dict)
    base_patterns: dict[str, parts.BasePattern] = field(default_factory=dict)
    flanges: dict[str, parts.Flange] = field(default_factory=dict)
    adapters: dict[str, parts.Adapter] = field(default_factory=dict)
    shafts: dict[str, parts.Shaft] = field(default_factory=dict)
    drives: dict[str, parts.Drive] = field(default_factory=dict)
    handing_kits: dict[str, parts.HandingKit] = field(default_factory=dict)
    spacers: dict[str, parts.Spacer] = field(default_factory=dict)
    controllers: dict[str, parts.Controller] = field(default_factory=dict)
    breakers: dict[str, parts.Breaker] = field(default_factory=dict)
    switches: dict[str, parts.Switch] = field(default_factory=dict)
    supersessions: list[parts.Supersession] = field(default_factory=list)
    exceptions: list[parts.CatalogException] = field(default_factory=list)

    def article(self, kind: PartKind, low: int, high: int, grams: int) -> str:
        """Put one more article on the list, priced between ``low`` and ``high`` EUR; return its SKU."""
        rng = self.rng
        sku = f"{kind.value[:2].upper()}{len(self.articles):06d}"
        price = parts.Price("EUR", date(2024, 1, 1), 100 * rng.randint(low, high))
        dearer = parts.Price("EUR", date(2026, 1, 1), price.amount_minor * 104 // 100)
        prices = () if rng.random() < 0.02 else (price, dearer)
        lead_time_days = None if rng.random() < 0.05 else rng.choice((0, 2, 5, 14, 30, 60))
        self.articles[sku] = parts.Part(
            sku,
            kind,
            sku,
            f"maker-{rng.randrange(12)}",
            lead_time_days=lead_time_days,
            mass_g=grams,
            prices=prices,
        )
        return sku

    def finished(self) -> parts.Catalog:
        return parts.Catalog(
            families=self.families,
            models=self.models,
            runs=self.runs,
            base_patterns=self.base_patterns,
            flanges=self.flanges,
            parts=self.articles,
            adapters=self.adapters,
            shafts=self.shafts,
            drives=self.drives,
            handing_kits=self.handing_kits,
            spacers=self.spacers,
            controllers=self.controllers,
            breakers=self.breakers,
            switches=self.switches,
            supersessions=tuple(self.supersessions),
            exceptions=tuple(self.exceptions),
        )


@dataclass(frozen=True, slots=True)
class Group:
    """The interfaces of a group. The neighbour shares ``spindles``; its flange is ``other_flange``."""

    flange: str
    other_flange: str
    couplings: tuple[str, str]
    spindles: tuple[str, str]
    name: str

    @classmethod
    def numbered(cls, number: int) -> "Group":
        return cls(
            flange=f"flange-{number}",
            other_flange=f"flange-{number ^ 1}",
            couplings=(f"coupling-{number}-a", f"coupling-{number}-b"),
            spindles=(f"spindle-{number // 2}-a", f"spindle-{number // 2}-b"),
            name=str(number),
        )


def big_catalog(size: int, seed: int, fan_out: FanOut = "bounded") -> parts.Catalog:
    """A catalog of ``size`` parts (rounded up to whole pairs of groups), the same for the same arguments."""
    making = Making(Random(seed))
    widths = Widths.of(size, fan_out)
    _feeding(making, size)
    number = 0
    while len(making.articles) < size or number % 2:
        _group(making, Group.numbered(number), widths)
        number += 1
    _withdraw(making)
    return making.finished()


# --- what feeds the drives, for all groups ----------------------------------------


def _feeding(making: Making, size: int) -> None:
    """Controllers, breakers, switches: few, since they mate with all drives; as many as the root."""
    many = isqrt(size) // 8
    for number in range(max(6, many)):
        _controller(making, number)
    for number in range(max(6, many)):
        _breaker(making, number)
    for number in range(max(4, many // 2)):
        sku = making.article(PartKind.SWITCH, 15, 70, 100)
        making.switches[sku] = parts.Switch(sku, 1 + number % 2, (24_000, 60_000, 12_000)[number % 3])


def _controller(making: Making, number: int) -> None:
    rng = making.rng
    sku = making.article(PartKind.CONTROLLER, 120, 420, 900)
    volts = ((12_000,), (24_000,), (12_000, 24_000), (48_000,), (12_000, 24_000, 48_000), (12_000,))[
        number % 6
    ]
    control = ((12_000, 24_000), (12_000,), (12_000, 24_000))[number % 3]
    making.controllers[sku] = parts.Controller(
        sku,
        motor_voltages_mv=frozenset(volts),
        control_voltages_mv=frozenset(control),
        motor_leads=3 if number % 5 == 4 else 2,
        max_current_ma=rng.choice((150, 200, 250)) * 1_000,
        inputs=rng.choice((2, 2, 4)),
        plain_switches=number < 6 or rng.random() < 0.9,
    )


def _breaker(making: Making, number: int) -> None:
    rng = making.rng
    sku = making.article(PartKind.BREAKER, 40, 160, 250)
    slow = rng.choice((8_000, 12_000, 20_000))
    rows = (
        (100, 3_600_000, 7_200_000),
        (135, 8 * slow, 20 * slow),
        (200, slow, 4 * slow),
        (400, slow // 8, slow),
    )
    making.breakers[sku] = parts.Breaker(
        sku,
        rating_ma=(60, 80, 100, 120, 150, 40)[number % 6] * 1_000,
        max_voltage_mv=(32_000, 60_000, 80_000)[number % 3],
        interrupting_capacity_a=rng.choice((3_000, 5_000, 10_000)),
        trips=tuple(parts.TripRow(*row) for row in rows),
    )


# --- one group ----------------------------------------


def _group(making: Making, group: Group, widths: Widths) -> None:
    rng = making.rng
    shafts, drives = _some(rng, widths.shafts), _some(rng, widths.drives)
    making.flanges[group.flange] = parts.Flange(group.flange, 3, rng.choice((15, 20, 30)) * MM)
    for thickness in sorted(rng.sample((1, 2, 3, 4, 5, 8, 10), _some(rng, widths.spacers))):
        sku = making.article(PartKind.SPACER, 12, 60, 40 * thickness)
        making.spacers[sku] = parts.Spacer(sku, group.flange, thickness * MM, 3)
    for number in range(shafts):
        _shaft(making, group, number)
    for number in range(drives):
        sku = making.article(PartKind.DRIVE, 900, 3_800, 14_000)
        making.drives[sku] = drive(
            rng, sku, number, flange=group.flange, coupling=group.couplings[number % 2]
        )
        if making.drives[sku].hand is DriveHand.CONVERTIBLE:
            kit = making.article(PartKind.HANDING_KIT, 60, 220, 400)
            making.handing_kits[kit] = parts.HandingKit(
                kit, frozenset({sku}), reverses_rotation=number % 4 == 0
            )
    for number in range(MODELS_PER_GROUP):
        _model(making, group, number, widths)


def _some(rng: Random, most: int) -> int:
    return rng.randint((most + 1) // 2, most)


def _shaft(making: Making, group: Group, number: int) -> None:
    """By turns: two fixed from above, one cut to length, one from below, two captive ones."""
    rng = making.rng
    mounting = (
        Mounting.FROM_ABOVE,
        Mounting.FROM_ABOVE,
        Mounting.FROM_ABOVE,
        Mounting.FROM_BELOW,
        Mounting.CAPTIVE,
        Mounting.CAPTIVE,
    )[number % 6]
    sku = making.article(PartKind.SHAFT, 90, 380, 1_500)
    cut = number % 6 == 2
    cut_min = rng.randint(40, 50) * MM if cut else 0
    length = 0 if cut else rng.randint(42, 80) * MM
    coupling = group.couplings[number % 2]
    spindles = group.spindles if rng.random() < 0.5 else (group.spindles[number // 2 % 2],)
    windows = tuple(
        parts.ShaftWindow(spindle, coupling, length - 4 * MM, length + rng.randint(3, 7) * MM)
        for spindle in spindles
    )
    making.shafts[sku] = parts.Shaft(
        sku, mounting, cut, cut_min, cut_min + 40 * MM if cut else 0, rng.randint(20, 60) * MM, windows
    )


# --- the winches of a group ----------------------------------------


def _model(making: Making, group: Group, number: int, widths: Widths) -> None:
    rng = making.rng
    code = f"model-{group.name}-{number}"
    family = f"family-{group.name}-{number % 2}"
    if family not in making.families:
        convertible = rng.random() < 0.93
        reason = "" if convertible else "The spindle ends above the base."
        making.families[family] = parts.Family(family, family, "maker", convertible, reason)
    size = rng.choice((28, 34, 40, 44, 48, 54, 60, 66, 72))
    drum = 60 + size
    base = 110 + size
    # Size = last gear x handle / drum radius, with the trade's standard handle.
    last_ratio = 1_000 * size * drum // (2 * HANDLE_MM)
    making.models[code] = parts.WinchModel(
        code=code,
        name=code,
        family=family,
        maker="maker",
        size=size,
        gear_ratios_milli=(last_ratio // 3, last_ratio) if rng.random() < 0.9 else (last_ratio,),
        drum_diameter_um=drum * MM,
        base_diameter_um=base * MM,
        height_um=(120 + size) * MM,
        working_load_n=LOAD_PER_SIZE_N * size,
        spindle_torque_max_mnm=rng.choice((60_000, 75_000, 90_000)),
        self_tailing=True,
        rope_min_um=8 * MM,
        rope_max_um=14 * MM,
        pad_diameter_um=base * MM,
    )
    patterns = (f"base-{group.name}-{number}-old", f"base-{group.name}-{number}-new")
    for pattern in patterns:
        making.base_patterns[pattern] = parts.BasePattern(pattern, (base - 30) * MM, 5, 70 * MM)
    runs = list(_runs(rng, code, patterns, group.spindles))
    making.runs |= {run.code: run for run in runs}
    for index in range(_some(rng, widths.adapters)):
        _adapter(making, index, patterns, base, group.other_flange if index % 4 == 3 else group.flange)
    if rng.random() < 0.1:
        _rule(making, runs[-1])


def _runs(
    rng: Random, model: str, patterns: tuple[str, str], spindles: tuple[str, str]
) -> Iterator[parts.Run]:
    """One to three runs; the base pattern changes with the second, the spindle sometimes with the third."""
    first = rng.randint(1978, 2012)
    count = rng.choice((1, 2, 2, 3))
    for number in range(count):
        last = first + rng.randint(3, 9)
        yield parts.Run(
            code=f"{model}-run-{number}",
            model=model,
            year_from=first,
            year_to=None if number == count - 1 and first > 2010 else last,
            serial_rule=parts.SerialRule.NUMBER,
            serial_from=str(10_000 * (number + 1)),
            serial_to=str(10_000 * (number + 1) + 9_999),
            base_pattern=patterns[0 if number == 0 else 1],
            spindle=spindles[1 if number == 2 and rng.random() < 0.5 else 0],
            plug=rng.choice((parts.Plug.NONE, parts.Plug.THREADED, parts.Plug.PRESSED, parts.Plug.BONDED)),
            plug_removable=rng.random() < 0.9,
        )
        first = last + 1


def _adapter(making: Making, index: int, patterns: tuple[str, str], base_mm: int, flange: str) -> None:
    rng = making.rng
    sku = making.article(PartKind.ADAPTER, 80, 320, 1_200)
    bases = (frozenset(patterns[:1]), frozenset(patterns[1:]), frozenset(patterns), frozenset(patterns))[
        index % 4
    ]
    thickness = rng.choice((-4, 6, 8, 10, 12, 16, 20)) * MM
    making.adapters[sku] = parts.Adapter(
        sku, bases, flange, thickness, (base_mm + rng.choice((0, 0, 5, 20))) * MM
    )


def _rule(making: Making, run: parts.Run) -> None:
    """Forbid, for the first serials of a run, the newest drive; a keeper found it to foul."""
    sku = next(reversed(making.drives))
    low = int(run.serial_from)
    making.exceptions.append(
        parts.CatalogException(
            code=f"ruling-{len(making.exceptions)}",
            kind=parts.ExceptionKind.FORBID,
            sku=sku,
            run=run.code,
            serial_from=run.serial_from,
            serial_to=str(low + 999),
            reason="The gearbox fouls the pawl carrier.",
            document="note",
        )
    )


def _withdraw(making: Making) -> None:
    """Withdraw one adapter in forty and one drive in forty; half of them have a successor."""
    rng = making.rng
    for table in (making.adapters, making.drives):
        skus = list(table)
        for old, new in pairwise(skus):
            if rng.random() < 0.025:
                article = making.articles[old]
                making.articles[old] = _withdrawn(article)
                if rng.random() < 0.5:
                    making.supersessions.append(parts.Supersession(old, new, two_way=rng.random() < 0.3))


def _withdrawn(article: parts.Part) -> parts.Part:
    return parts.Part(
        article.sku,
        article.kind,
        article.name,
        article.maker,
        parts.Status.WITHDRAWN,
        date(2025, 1, 1),
        lead_time_days=article.lead_time_days,
        mass_g=article.mass_g,
        prices=article.prices,
    )
