"""The drive units of large invented catalogs, with figures that go together."""

from random import Random

from catalog.resolver import parts
from catalog.resolver.parts import Box, Cylinder, DriveHand, DriveType, Hand, Piece, Power

MM = 1_000
VOLTS = (12, 24, 12, 48, 24, 12)
HANDS = (DriveHand.RIGHT, DriveHand.LEFT, DriveHand.CONVERTIBLE)


def drive(rng: Random, sku: str, number: int, *, flange: str, coupling: str) -> parts.Drive:
    """The ``number``-th drive of a flange: every fourth in-line, else right, left, convertible."""
    sideways = number % 4 != 3
    hand = HANDS[number % 3] if sideways else DriveHand.NONE
    supplied = Hand.RIGHT if hand is DriveHand.CONVERTIBLE else Hand(hand.value)
    volts = VOLTS[number % len(VOLTS)]
    torque = rng.randint(40, 72)
    # Power is about torque times speed over efficiency: a slower drive of the same torque draws less.
    peak_a = torque * rng.randint(22, 32) // volts
    solids, pieces = _sideways(rng) if sideways else _in_line(rng)
    return parts.Drive(
        sku=sku,
        drive_type=DriveType.RIGHT_ANGLE if sideways else DriveType.IN_LINE,
        power=Power.ELECTRIC,
        hand=hand,
        supplied_hand=supplied,
        flange=flange,
        coupling=coupling,
        motor_voltage_mv=volts * 1_000,
        motor_leads=3 if rng.random() < 0.15 else 2,
        torque_mnm=torque * 1_000,
        no_load_current_ma=peak_a * 200,
        peak_current_ma=peak_a * 1_000,
        efficiency_milli=rng.randint(550, 750),
        reversible=rng.random() < 0.95,
        override=rng.random() < 0.6,
        max_press_ms=rng.choice((15, 20, 30, 60)) * 1_000,
        duty_class="short",
        clearance_um=rng.choice((5, 10, 15)) * MM,
        largest_breaker_ma=_largest_breaker_ma(peak_a),
        solids=solids,
        pieces=pieces,
        clockings_ddeg=_clockings(rng),
        rotations_ddeg=(0, 900, 1_800, 2_700),
    )


def _largest_breaker_ma(peak_a: int) -> int:
    return next((one for one in (40, 60, 80, 100, 120, 150) if one >= peak_a), 200) * 1_000


def _clockings(rng: Random) -> tuple[tuple[int, int], ...]:
    """Bolt holes every 30, 45 or 60 degrees, or a clamping ring that turns within a stretch."""
    if rng.random() < 0.1:
        start = rng.randrange(0, 3_600, 100)
        return ((start, (start + 1_200) % 3_600),)
    step = rng.choice((300, 450, 600))
    first = rng.choice((0, 100, 150))
    return tuple((place, place) for place in range(first, 3_600, step))


def _sideways(rng: Random) -> tuple[tuple[parts.Solid, ...], tuple[Piece, ...]]:
    gearbox_mm, deep = rng.randint(110, 150), rng.randint(75, 110)
    motor_mm, length = rng.randint(90, 125), rng.randint(210, 330)
    aside = rng.choice((0, 0, 15, 30))
    top = rng.randint(5, 20)
    solids = (
        Cylinder(0, 0, gearbox_mm * MM, 0, deep * MM),
        Box(
            0,
            length * MM,
            (aside * 2 - motor_mm) * MM // 2,
            (aside * 2 + motor_mm) * MM // 2,
            top * MM,
            (top + motor_mm) * MM,
        ),
    )
    gearbox = Piece("gearbox", gearbox_mm * MM, gearbox_mm * MM, deep * MM, carries_shaft=True)
    motor = Piece("motor", (length - gearbox_mm // 2) * MM, motor_mm * MM, motor_mm * MM)
    if rng.random() < 0.2:
        wide = max(gearbox_mm, motor_mm + aside)
        whole = Piece(
            "whole",
            (length + gearbox_mm // 2) * MM,
            wide * MM,
            max(deep, top + motor_mm) * MM,
            carries_shaft=True,
        )
        return solids, (whole,)
    return solids, (gearbox, motor)


def _in_line(rng: Random) -> tuple[tuple[parts.Solid, ...], tuple[Piece, ...]]:
    gearbox_mm, deep = rng.randint(120, 155), rng.randint(70, 100)
    motor_mm, length = rng.randint(95, 125), rng.randint(130, 220)
    solids = (
        Cylinder(0, 0, gearbox_mm * MM, 0, deep * MM),
        Cylinder(0, 0, motor_mm * MM, deep * MM, (deep + length) * MM),
    )
    gearbox = Piece("gearbox", gearbox_mm * MM, gearbox_mm * MM, deep * MM, carries_shaft=True)
    return solids, (gearbox, Piece("motor", length * MM, motor_mm * MM, motor_mm * MM))
