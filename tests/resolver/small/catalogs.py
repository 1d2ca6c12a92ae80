"""Small random catalogs: a few interchangeable parts of every kind, with figures tight around each other."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date
from random import Random

from catalog.resolver import parts
from catalog.resolver.parts import DriveHand, DriveType, Hand, Mounting, PartKind, Power
from tests.resolver.small.rulings import rulings, supersessions

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


def mostly(rng: Random, choices: tuple[str, ...], percent: float = 85) -> str:
    """The first of ``choices`` most of the time, so that things mate often and not always."""
    return choices[0] if chance(rng, percent) else rng.choice(choices[1:])


def some(rng: Random, choices: tuple[str, ...], percent: float = 40) -> frozenset[str]:
    """The first of ``choices`` most of the time, each of the others sometimes; never nothing."""
    return frozenset({mostly(rng, choices, 92)} | {one for one in choices[1:] if chance(rng, percent)})


@dataclass
class _Articles:
    """The list of articles in the making."""

    rng: Random
    listed: dict[str, parts.Part] = field(default_factory=dict)

    def draw[T](
        self, kind: PartKind, least: int, most: int, make: Callable[[Random, str], T]
    ) -> dict[str, T]:
        """Make so many parts of a kind, each with its article."""
        skus = [f"{kind.value.upper()}-{number}" for number in range(1, self.rng.randint(least, most) + 1)]
        self.listed |= {sku: _article(self.rng, sku, kind) for sku in skus}
        return {sku: make(self.rng, sku) for sku in skus}


def small_catalog(rng: Random) -> parts.Catalog:
    """Draw a catalog of one or two winch models and about fifteen parts."""
    models = _models(rng)
    runs = [run for model in models for run in _runs(rng, model)]
    articles = _Articles(rng)
    drives = articles.draw(PartKind.DRIVE, 1, 3, _drive)
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
            lambda rng, sku: parts.HandingKit(sku, convertible, chance(rng, 50)),
        ),
        spacers=articles.draw(PartKind.SPACER, 0, 3, _spacer),
        controllers=articles.draw(PartKind.CONTROLLER, 1, 2, _controller),
        breakers=articles.draw(PartKind.BREAKER, 1, 2, _breaker),
        switches=articles.draw(PartKind.SWITCH, 1, 2, _switch),
        parts=articles.listed,
    )
    return replace(catalog, supersessions=supersessions(rng, catalog), exceptions=rulings(rng, catalog))


def _article(rng: Random, sku: str, kind: PartKind) -> parts.Part:
    status, withdrawn_on, valid_from, valid_to = parts.Status.CURRENT, None, None, None
    trouble = rng.random() * 100
    if trouble < 5:
        status = parts.Status.WITHDRAWN
        # On the day asked for, the day before, and the day after: only the last is still to be had.
        withdrawn_on = rng.choice((AS_OF, date(2026, 5, 31), date(2026, 6, 2)))
    elif trouble < 8:
        valid_to = rng.choice((AS_OF, date(2026, 5, 31)))
    elif trouble < 11:
        valid_from = rng.choice((AS_OF, date(2026, 6, 2)))
    elif trouble < 15:
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
    convertible = not chance(rng, 3)
    return parts.Family(
        code, code, "maker", convertible, "" if convertible else "The spindle ends above the base."
    )


def _models(rng: Random) -> list[parts.WinchModel]:
    return [_model(rng, f"model-{number}", f"family-{number}") for number in range(1, rng.choice((2, 2, 3)))]


def _model(rng: Random, code: str, family: str) -> parts.WinchModel:
    last = rng.choice((6_000, 8_000))
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
        working_load_n=rng.choice((9_000, 10_800, 12_000)),
        spindle_torque_max_mnm=rng.choice((50_000, 60_000, 80_000)),
        self_tailing=True,
        rope_min_um=8 * MM,
        rope_max_um=14 * MM,
        pad_diameter_um=150 * MM,
    )


def _runs(rng: Random, model: parts.WinchModel) -> list[parts.Run]:
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
                base_pattern=mostly(rng, BASES),
                spindle=mostly(rng, SPINDLES, 88),
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


def _adapter(rng: Random, sku: str) -> parts.Adapter:
    footprint = rng.choice((140, 150, 150, 160)) * MM
    return parts.Adapter(
        sku, some(rng, BASES), mostly(rng, FLANGES), rng.choice((-3, 6, 8, 10, 12)) * MM, footprint
    )


def _shaft(rng: Random, sku: str) -> parts.Shaft:
    mounting = rng.choice(tuple(Mounting))
    cut = mounting is not Mounting.CAPTIVE and chance(rng, 35)
    cut_min = DECK_MM + rng.randint(-2, 10) if cut else 0
    cut_max = cut_min + rng.choice((0, 1, 4, 10)) if cut else 0
    mates = {("spindle-a", "coupling-a")} if chance(rng, 92) else set()
    mates |= {(spindle, coupling) for spindle in SPINDLES for coupling in COUPLINGS if chance(rng, 20)}
    windows = tuple(_window(rng, spindle, coupling, cut=cut) for spindle, coupling in sorted(mates))
    return parts.Shaft(sku, mounting, cut, cut_min * MM, cut_max * MM, rng.choice((10, 25, 40)) * MM, windows)


def _window(rng: Random, spindle: str, coupling: str, *, cut: bool) -> parts.ShaftWindow:
    low = rng.choice((-2, 0, 1)) if cut else DECK_MM + rng.randint(3, 16)
    return parts.ShaftWindow(spindle, coupling, low * MM, (low + rng.randint(0, 7)) * MM)


def _spacer(rng: Random, sku: str) -> parts.Spacer:
    return parts.Spacer(sku, mostly(rng, FLANGES, 92), rng.randint(1, 6) * MM, rng.randint(1, 3))


# --- the drive ----------------------------------------


def _drive(rng: Random, sku: str) -> parts.Drive:
    sideways = chance(rng, 65)
    hand = rng.choice((DriveHand.RIGHT, DriveHand.LEFT, DriveHand.CONVERTIBLE, DriveHand.NONE))
    if not sideways:
        hand = DriveHand.NONE
    supplied = rng.choice((Hand.LEFT, Hand.RIGHT)) if hand is DriveHand.CONVERTIBLE else Hand(hand.value)
    solids = _sideways_solids(rng) if sideways else _in_line_solids(rng)
    hydraulic = chance(rng, 3)
    peak_a = rng.choice((80, 100, 125, 160))
    return parts.Drive(
        sku=sku,
        drive_type=DriveType.RIGHT_ANGLE if sideways else DriveType.IN_LINE,
        power=Power.HYDRAULIC if hydraulic else Power.ELECTRIC,
        hand=hand,
        supplied_hand=supplied,
        flange=mostly(rng, FLANGES, 92),
        coupling=mostly(rng, COUPLINGS, 90),
        motor_voltage_mv=0 if hydraulic else rng.choice((12, 12, *VOLTS)) * 1_000,
        motor_leads=0 if hydraulic else rng.choice((2, 2, 2, 3)),
        torque_mnm=rng.choice((30_000, 40_000, 50_000, 60_000)),
        no_load_current_ma=0 if hydraulic else 20_000,
        peak_current_ma=0 if hydraulic else peak_a * 1_000,
        efficiency_milli=0 if hydraulic else 700,
        reversible=not chance(rng, 8),
        override=chance(rng, 50),
        max_press_ms=rng.choice((15, 20, 60)) * 1_000,
        duty_class="short",
        clearance_um=rng.choice((0, 0, 5, 10)) * MM,
        largest_breaker_ma=0 if hydraulic else rng.choice((80, 100, 125)) * 1_000,
        solids=solids,
        pieces=_pieces(rng),
        clockings_ddeg=_clockings(rng, sideways=sideways),
        rotations_ddeg=rng.choice(((0,), (0, 1_800), (0, 900, 1_800, 2_700))),
    )


def _sideways_solids(rng: Random) -> tuple[parts.Solid, ...]:
    """A round gearbox on the axis, and a motor along x that stands off a little to the right, or not."""
    gearbox = parts.Cylinder(0, 0, rng.choice((100, 120)) * MM, 0, rng.choice((80, 90, 100)) * MM)
    aside = rng.choice((0, 0, 20, 40))
    half = rng.choice((30, 40))
    top = rng.choice((10, 20))
    end, bottom = rng.choice((180, 200, 240)), top + rng.choice((50, 70, 90))
    motor = parts.Box(0, end * MM, (aside - half) * MM, (aside + half) * MM, top * MM, bottom * MM)
    return (gearbox, motor)


def _in_line_solids(rng: Random) -> tuple[parts.Solid, ...]:
    gearbox = rng.choice((60, 90))
    depth = gearbox + rng.choice((90, 120, 150))
    return (
        parts.Cylinder(0, 0, rng.choice((120, 140)) * MM, 0, gearbox * MM),
        parts.Cylinder(0, 0, rng.choice((100, 120)) * MM, gearbox * MM, depth * MM),
    )


def _pieces(rng: Random) -> tuple[parts.Piece, ...]:
    length, width, height = (rng.choice((80, 100, 120)) * MM for _ in range(3))
    gearbox = parts.Piece("gearbox", length, width, height, carries_shaft=True)
    motor = parts.Piece("motor", 200 * MM, rng.choice((60, 80)) * MM, rng.choice((60, 80)) * MM)
    if chance(rng, 25):
        return (parts.Piece("whole", 240 * MM, 120 * MM, rng.choice((100, 130)) * MM, carries_shaft=True),)
    return (gearbox, motor)


def _clockings(rng: Random, *, sideways: bool) -> tuple[tuple[int, int], ...]:
    if not sideways:
        return ((0, TURN_DDEG),) if chance(rng, 30) else ((0, 0),)
    if chance(rng, 10):
        start = 300 * rng.randrange(12)
        return ((start, (start + rng.choice((300, 600))) % TURN_DDEG),)
    places = sorted(rng.sample(range(0, TURN_DDEG, 300), rng.choice((1, 2, 2, 4, 6))))
    return tuple((place, place) for place in places)


# --- the electric side ----------------------------------------


def _millivolts(rng: Random, volts: tuple[int, ...], percent: float) -> frozenset[int]:
    return frozenset({1_000 * rng.choice(volts)} | {1_000 * one for one in volts if chance(rng, percent)})


def _controller(rng: Random, sku: str) -> parts.Controller:
    current = rng.choice((100, 125, 160, 200, 200)) * 1_000
    leads, inputs, plain = rng.choice((2, 2, 2, 3)), rng.choice((2, 2, 4)), not chance(rng, 6)
    return parts.Controller(
        sku, _millivolts(rng, VOLTS, 75), _millivolts(rng, (12, 24), 75), leads, current, inputs, plain
    )


def _breaker(rng: Random, sku: str) -> parts.Breaker:
    rows = ((100, 3_600_000, 7_200_000), (150, 20_000, 60_000), (200, rng.choice((5_000, 10_000)), 20_000))
    trips = tuple(parts.TripRow(*row) for row in rows)
    rating, most_volts = rng.choice((60, 80, 80, 100)) * 1_000, rng.choice((15, 30, 60, 60)) * 1_000
    return parts.Breaker(sku, rating, most_volts, 5_000, trips)


def _switch(rng: Random, sku: str) -> parts.Switch:
    return parts.Switch(sku, rng.choice((1, 1, 2)), rng.choice((12, 24, 24, 60)) * 1_000)
