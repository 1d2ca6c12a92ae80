"""Random drives of small catalogs, and what feeds them: controllers, breakers, switches."""

from random import Random

from catalog.resolver import parts
from catalog.resolver.parts import DriveHand, DriveType, Hand, Power
from tests.resolver.small.luck import COUPLINGS, FLANGES, MM, TURN_DDEG, VOLTS, Luck, chance


def drive(luck: Luck, sku: str) -> parts.Drive:
    rng = luck.rng
    sideways = chance(rng, 65)
    hand = rng.choice((DriveHand.RIGHT, DriveHand.LEFT, DriveHand.CONVERTIBLE, DriveHand.NONE))
    if not sideways:
        hand = DriveHand.NONE
    supplied = rng.choice((Hand.LEFT, Hand.RIGHT)) if hand is DriveHand.CONVERTIBLE else Hand(hand.value)
    solids = _sideways_solids(rng) if sideways else _in_line_solids(rng)
    hydraulic = chance(rng, 3)
    peak_a = luck.figure((80, 100, 100), (125,))
    return parts.Drive(
        sku=sku,
        drive_type=DriveType.RIGHT_ANGLE if sideways else DriveType.IN_LINE,
        power=Power.HYDRAULIC if hydraulic else Power.ELECTRIC,
        hand=hand,
        supplied_hand=supplied,
        flange=luck.usual(FLANGES),
        coupling=luck.usual(COUPLINGS),
        motor_voltage_mv=0 if hydraulic else rng.choice((12, 12, *VOLTS)) * 1_000,
        motor_leads=0 if hydraulic else luck.figure((2,), (2, 3)),
        torque_mnm=luck.figure((40_000, 50_000, 50_000, 60_000), (30_000,)),
        no_load_current_ma=0 if hydraulic else 20_000,
        peak_current_ma=0 if hydraulic else peak_a * 1_000,
        efficiency_milli=0 if hydraulic else 700,
        reversible=not chance(rng, luck.bad / 2),
        override=chance(rng, 50),
        max_press_ms=luck.figure((15, 20, 60), (10, 14)) * 1_000,
        duty_class="short",
        clearance_um=rng.choice((0, 0, 5, 10)) * MM,
        largest_breaker_ma=0 if hydraulic else luck.figure((100, 125), (60, 80)) * 1_000,
        solids=solids,
        pieces=_pieces(rng),
        clockings_ddeg=_clockings(rng, sideways=sideways),
        rotations_ddeg=rng.choice(((0,), (0, 1_800), (0, 900, 1_800, 2_700))),
    )


def _sideways_solids(rng: Random) -> tuple[parts.Solid, ...]:
    """A round gearbox on the axis, and a motor along x that stands off a little to the right, or not."""
    gearbox = parts.Cylinder(0, 0, rng.choice((100, 120)) * MM, 0, rng.choice((80, 90, 100)) * MM)
    aside = rng.choice((0, 20, 40))
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
        return rng.choice((((0, 0),), ((0, 0), (1_800, 1_800)), ((3_590, 10),)))
    if chance(rng, 12):
        start = 300 * rng.randrange(12)
        return ((start, (start + rng.choice((10, 20))) % TURN_DDEG),)
    places = sorted(rng.sample(range(0, TURN_DDEG, 300), rng.choice((1, 2, 2, 4, 6))))
    return tuple((place, place) for place in places)


# --- the electric side ----------------------------------------


def _millivolts(luck: Luck, volts: tuple[int, ...]) -> frozenset[int]:
    """All of the voltages, or only one of them."""
    chosen = luck.figure((volts,) * 9 + (volts[:1],), tuple((one,) for one in volts))
    return frozenset(1_000 * one for one in chosen)


def controller(luck: Luck, sku: str) -> parts.Controller:
    rng = luck.rng
    current = luck.figure((100, 125, 200), (80, 99)) * 1_000
    leads, inputs, plain = luck.figure((2,), (2, 3)), luck.figure((2, 4), (1,)), not chance(rng, luck.bad / 3)
    return parts.Controller(
        sku, _millivolts(luck, VOLTS), _millivolts(luck, (12, 24)), leads, current, inputs, plain
    )


def breaker(luck: Luck, sku: str) -> parts.Breaker:
    rng = luck.rng
    rows = ((100, 3_600_000, 7_200_000), (150, 20_000, 60_000), (200, rng.choice((5_000, 10_000)), 20_000))
    trips = tuple(parts.TripRow(*row) for row in rows)
    rating, most_volts = (
        luck.figure((80, 100), (60,)) * 1_000,
        luck.figure((60, 60, 30), (12, 14, 15, 24, 29, 30, 59)) * 1_000,
    )
    return parts.Breaker(sku, rating, most_volts, 5_000, trips)


def switch(luck: Luck, sku: str) -> parts.Switch:
    return parts.Switch(sku, luck.rng.choice((1, 1, 2)), luck.figure((24, 60), (12, 24)) * 1_000)
