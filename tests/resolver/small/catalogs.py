"""Small random catalogs: a few interchangeable parts of every kind, with figures tight around each other."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date
from random import Random

from catalog.resolver import parts
from catalog.resolver.parts import DriveHand, Mounting, PartKind
from tests.resolver.small.luck import AS_OF, BASES, COUPLINGS, DECK_MM, FLANGES, MM, SPINDLES, Luck, chance
from tests.resolver.small.powered import breaker, controller, drive, switch
from tests.resolver.small.rulings import rulings, supersessions


@dataclass
class _Articles:
    """The list of articles in the making."""

    luck: Luck
    listed: dict[str, parts.Part] = field(default_factory=dict)

    def draw[T](self, kind: PartKind, least: int, most: int, make: Callable[[Luck, str], T]) -> dict[str, T]:
        """Make so many parts of a kind, each with its article."""
        skus = [
            f"{kind.value.upper()}-{number}" for number in range(1, self.luck.rng.randint(least, most) + 1)
        ]
        self.listed |= {sku: _article(self.luck, sku, kind) for sku in skus}
        return {sku: make(self.luck, sku) for sku in skus}


def small_catalog(rng: Random) -> parts.Catalog:
    """Draw a catalog of one or two winch models and about fifteen parts."""
    luck = Luck(rng, rng.choice((0, 0, 0, 0, 0, 0, 0, 5, 15)))
    models = _models(luck)
    runs = [run for model in models for run in _runs(luck, model)]
    articles = _Articles(luck)
    drives = articles.draw(PartKind.DRIVE, 1, 3, drive)
    convertible = frozenset(sku for sku, drive in drives.items() if drive.hand is DriveHand.CONVERTIBLE)
    catalog = parts.Catalog(
        families={model.family: _family(rng, model.family) for model in models},
        models={model.code: model for model in models},
        runs={run.code: run for run in runs},
        base_patterns={code: parts.BasePattern(code, 120 * MM, 5, 70 * MM) for code in BASES},
        flanges={code: _flange(rng, code) for code in FLANGES},
        adapters=articles.draw(PartKind.ADAPTER, 1, 3, _adapter),
        shafts=articles.draw(PartKind.SHAFT, 1, 3, _shaft),
        drives=drives,
        handing_kits=articles.draw(
            PartKind.HANDING_KIT,
            1 if convertible else 0,
            1 if convertible else 0,
            lambda luck, sku: parts.HandingKit(sku, convertible, chance(luck.rng, 50)),
        ),
        spacers=articles.draw(PartKind.SPACER, 0, 3, _spacer),
        controllers=articles.draw(PartKind.CONTROLLER, 1, 2, controller),
        breakers=articles.draw(PartKind.BREAKER, 1, 2, breaker),
        switches=articles.draw(PartKind.SWITCH, 1, 2, switch),
        parts=articles.listed,
    )
    return replace(catalog, supersessions=supersessions(rng, catalog), exceptions=rulings(rng, catalog))


def _article(luck: Luck, sku: str, kind: PartKind) -> parts.Part:
    rng = luck.rng
    status, withdrawn_on, valid_from, valid_to = parts.Status.CURRENT, None, None, None
    trouble = rng.random() * 100 + (3 if luck.bad == 0 else 0)
    if trouble < 3:
        status = parts.Status.WITHDRAWN
        # On the day asked for, the day before, and the day after: only the last is still to be had.
        withdrawn_on = rng.choice((AS_OF, date(2026, 5, 31), date(2026, 6, 2)))
    elif trouble < 4.5:
        valid_to = rng.choice((AS_OF, date(2026, 5, 31)))
    elif trouble < 6:
        valid_from = rng.choice((AS_OF, date(2026, 6, 2)))
    elif trouble < 12:
        status = parts.Status.LAST_TIME_BUY
    lead_time_days = None if chance(rng, 8) else rng.choice((0, 2, 5, 5, 14, 40))
    return parts.Part(
        sku,
        kind,
        sku.title(),
        "maker",
        status,
        withdrawn_on,
        valid_from,
        valid_to,
        lead_time_days,
        500,
        _prices(rng),
    )


def _prices(rng: Random) -> tuple[parts.Price, ...]:
    if chance(rng, 5):
        return ()
    prices = [parts.Price("EUR", date(2020, 1, 1), 100 * rng.randint(5, 40))]
    if chance(rng, 20):
        prices.append(
            parts.Price(
                "EUR", rng.choice((date(2025, 1, 1), AS_OF, date(2026, 6, 2))), 100 * rng.randint(5, 40)
            )
        )
    if chance(rng, 20):
        prices.append(parts.Price("USD", date(2020, 1, 1), 100 * rng.randint(5, 40)))
    return tuple(prices)


# --- the winch ----------------------------------------


def _family(rng: Random, code: str) -> parts.Family:
    convertible = not chance(rng, 2)
    return parts.Family(
        code, code, "maker", convertible, "" if convertible else "The spindle ends above the base."
    )


def _models(luck: Luck) -> list[parts.WinchModel]:
    return [
        _model(luck, f"model-{number}", f"family-{number}") for number in range(1, luck.rng.choice((2, 2, 3)))
    ]


def _model(luck: Luck, code: str, family: str) -> parts.WinchModel:
    rng, last = luck.rng, luck.figure((8_000,), (6_000,))
    return parts.WinchModel(
        code=code,
        name=code,
        family=family,
        maker="maker",
        size=46,
        gear_ratios_milli=(last,) if chance(rng, 12) else (2_000, last),
        drum_diameter_um=80 * MM,
        base_diameter_um=150 * MM,
        height_um=180 * MM,
        working_load_n=luck.figure((9_000, 10_800, 10_800, 10_800, 12_000), (7_000,)),
        spindle_torque_max_mnm=luck.figure((60_000, 60_000, 80_000), (40_000, 50_000)),
        self_tailing=True,
        rope_min_um=8 * MM,
        rope_max_um=14 * MM,
        pad_diameter_um=150 * MM,
    )


def _runs(luck: Luck, model: parts.WinchModel) -> list[parts.Run]:
    rng = luck.rng
    rule = rng.choice(tuple(parts.SerialRule))
    runs = []
    first = 1980
    for number in range(1, rng.choice((2, 2, 3, 3, 4))):
        last = first + rng.randint(2, 9)
        serial_from, serial_to = _serials(rng, rule, number)
        runs.append(
            parts.Run(
                code=f"{model.code}-run-{number}",
                model=model.code,
                year_from=first,
                year_to=None if number == 3 else last,
                serial_rule=rule,
                serial_from=serial_from,
                serial_to=serial_to,
                base_pattern=BASES[1] if number > 1 and chance(rng, 30) else luck.usual(BASES),
                spindle=luck.usual(SPINDLES),
                plug=rng.choice((parts.Plug.NONE, parts.Plug.NONE, *parts.Plug)),
                plug_removable=not chance(rng, 15),
            )
        )
        # The year of change belongs to both runs, or to the later one, or nothing was built for a while.
        first = last + rng.choice((0, 1, 1, 3))
    return runs


def _serials(rng: Random, rule: parts.SerialRule, number: int) -> tuple[str, str]:
    if rule is parts.SerialRule.NONE or chance(rng, 15):
        return "", ""
    prefix = "AB-" if rule is parts.SerialRule.PREFIX_NUMBER else ""
    return f"{prefix}{number * 1_000}", "" if chance(rng, 15) else f"{prefix}{number * 1_000 + 999}"


# --- what is bolted together ----------------------------------------


def _flange(rng: Random, code: str) -> parts.Flange:
    return parts.Flange(code, rng.randint(0, 4), rng.choice((4, 8, 15)) * MM)


def _adapter(luck: Luck, sku: str) -> parts.Adapter:
    rng = luck.rng
    footprint = rng.choice((140, 150, 150, 160)) * MM
    return parts.Adapter(
        sku, luck.several(BASES), luck.usual(FLANGES), rng.choice((-3, 6, 8, 10, 12)) * MM, footprint
    )


def _shaft(luck: Luck, sku: str) -> parts.Shaft:
    rng = luck.rng
    mounting = rng.choice(tuple(Mounting))
    cut = mounting is not Mounting.CAPTIVE and chance(rng, 35)
    cut_min = DECK_MM + rng.randint(-2, 10) if cut else 0
    cut_max = cut_min + rng.choice((0, 1, 4, 10)) if cut else 0
    mates = {(luck.usual(SPINDLES), luck.usual(COUPLINGS))}
    mates |= {(spindle, coupling) for spindle in SPINDLES for coupling in COUPLINGS if chance(rng, 20)}
    windows = tuple(_window(rng, spindle, coupling, cut=cut) for spindle, coupling in sorted(mates))
    return parts.Shaft(sku, mounting, cut, cut_min * MM, cut_max * MM, rng.choice((10, 25, 40)) * MM, windows)


def _window(rng: Random, spindle: str, coupling: str, *, cut: bool) -> parts.ShaftWindow:
    low = rng.choice((-2, 0, 1)) if cut else DECK_MM + rng.randint(3, 16)
    return parts.ShaftWindow(spindle, coupling, low * MM, (low + rng.randint(0, 7)) * MM)


def _spacer(luck: Luck, sku: str) -> parts.Spacer:
    rng = luck.rng
    return parts.Spacer(sku, luck.usual(FLANGES), rng.randint(1, 6) * MM, rng.randint(1, 3))
