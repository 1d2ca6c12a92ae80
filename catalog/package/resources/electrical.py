"""What feeds a drive: controllers, breakers, switches; and powered winches that replace a manual one."""

from decimal import Decimal
from typing import Annotated, NamedTuple

from catalog.package.kinds import Number, Sku, Whole, YesNo
from catalog.package.resource import Resource
from catalog.package.resources.mechanical import CONTROL_VOLTS, MOTOR_VOLTS, amps, seconds
from catalog.package.resources.winches import LEAST, mm
from catalog.package.rules import Ordered, is_true, only_if
from catalog.resolver.parts import PartKind


class ControllerRow(NamedTuple):
    sku: Annotated[str, Sku(about="The part.", refers="parts")]
    motor_leads: Annotated[int, Whole(about="Leads of the motors that it switches.", choices=(2, 3))]
    max_current_a: Annotated[Decimal, amps("The most motor current that it switches, A.")]
    inputs: Annotated[int, Whole(about="Inputs for switches.", least=1, most=64)]
    plain_switches: Annotated[bool, YesNo(about="Whether plain switches work it; `false`: a data bus.")]


class ControllerMotorVoltsRow(NamedTuple):
    sku: Annotated[str, Sku(about="The controller.", refers="controllers")]
    volts: Annotated[int, Whole(about="A motor voltage that it switches, V.", choices=MOTOR_VOLTS)]


class ControllerControlVoltsRow(NamedTuple):
    sku: Annotated[str, Sku(about="The controller.", refers="controllers")]
    volts: Annotated[int, Whole(about="A control voltage that it runs at, V.", choices=CONTROL_VOLTS)]


class BreakerRow(NamedTuple):
    sku: Annotated[str, Sku(about="The part.", refers="parts")]
    rating_a: Annotated[Decimal, amps("Rated current, A.")]
    max_volts: Annotated[
        int, Whole(about="The highest direct voltage that it may see, V.", least=1, most=1500)
    ]
    interrupting_capacity_a: Annotated[
        int, Whole(about="The highest current that it interrupts, A.", least=1)
    ]


class BreakerTripRow(NamedTuple):
    sku: Annotated[str, Sku(about="The breaker.", refers="breakers")]
    percent: Annotated[int, Whole(about="At this percentage of its rating", least=1, most=10_000)]
    earliest_s: Annotated[Decimal, seconds("it trips not before so many seconds,")]
    latest_s: Annotated[Decimal, seconds("and not after so many.")]


class SwitchRow(NamedTuple):
    sku: Annotated[str, Sku(about="The part.", refers="parts")]
    buttons: Annotated[int, Whole(about="Buttons.", least=1, most=16)]
    max_volts: Annotated[
        int, Whole(about="The highest direct voltage that it may see, V.", least=1, most=1500)
    ]


class PoweredWinchRow(NamedTuple):
    sku: Annotated[str, Sku(about="The part.", refers="parts")]
    size: Annotated[int, Whole(about="The trade's size number.", least=1, most=999)]
    last_gear_ratio: Annotated[
        Decimal, Number(about="Handle turns per drum turn in the last gear.", least=LEAST, most=Decimal(1000))
    ]
    drum_diameter_mm: Annotated[Decimal, mm("Diameter of the drum where the rope runs, mm.")]
    base_diameter_mm: Annotated[Decimal, mm("Outer diameter of the base, mm.")]
    working_load_n: Annotated[int, Whole(about="Working load, N.", least=1)]
    self_tailing: Annotated[bool, YesNo(about="Whether it holds the rope's tail itself.")]
    rope_min_mm: Annotated[Decimal | None, mm("The thinnest rope that the self-tailer grips, mm.")]
    rope_max_mm: Annotated[Decimal | None, mm("The thickest rope that the self-tailer grips, mm.")]
    motor_volts: Annotated[int, Whole(about="Motor voltage, V.", choices=MOTOR_VOLTS)]


CONTROLLERS = Resource(
    "controllers",
    "Controllers",
    "What switches a motor both ways and cuts out on overload.",
    ControllerRow,
    ("sku",),
    part_kind=PartKind.CONTROLLER,
)

CONTROLLER_MOTOR_VOLTS = Resource(
    "controller_motor_volts",
    "Controllers' motor voltages",
    "The motor voltages that a controller switches.",
    ControllerMotorVoltsRow,
    ("sku", "volts"),
)

CONTROLLER_CONTROL_VOLTS = Resource(
    "controller_control_volts",
    "Controllers' control voltages",
    "The control voltages that a controller runs at.",
    ControllerControlVoltsRow,
    ("sku", "volts"),
)

BREAKERS = Resource(
    "breakers",
    "Delay breakers",
    "Breakers that carry a multiple of their rating for a stated time.",
    BreakerRow,
    ("sku",),
    part_kind=PartKind.BREAKER,
    needs=("breaker_trips",),
)

BREAKER_TRIPS = Resource(
    "breaker_trips",
    "Breakers' trip times",
    "A breaker's own trip curve; times never rise with the current.",
    BreakerTripRow,
    ("sku", "percent"),
    (Ordered("earliest_s", "latest_s"),),
)

SWITCHES = Resource(
    "switches",
    "Switches",
    "What is pressed on deck.",
    SwitchRow,
    ("sku",),
    part_kind=PartKind.SWITCH,
)

POWERED_WINCHES = Resource(
    "powered_winches",
    "Powered winches",
    "Winches with a motor of their own, which replace a manual one whole.",
    PoweredWinchRow,
    ("sku",),
    (
        *only_if(is_true("self_tailing"), "rope_min_mm", "rope_max_mm"),
        Ordered("rope_min_mm", "rope_max_mm"),
    ),
    part_kind=PartKind.WINCH,
)
