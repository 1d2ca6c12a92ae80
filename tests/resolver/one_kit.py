"""One catalog with one kit that fits in one world: a test changes a single figure and sees what fails."""

from dataclasses import replace
from datetime import date
from typing import Any

from catalog.resolver import parts
from catalog.resolver.facts import OpeningSize, Variant, World
from catalog.resolver.gates import judge
from catalog.resolver.kits import Case, Check, Core, Fill, Kit, Setting, Stack
from catalog.resolver.parts import DriveHand, DriveType, Hand, Mounting, PartKind, Power, SerialRule
from catalog.resolver.question import Assumptions, Question, WinchGiven
from shared.intervals import FULL_CIRCLE

AS_OF = date(2026, 6, 1)

MODEL = parts.WinchModel(
    code="capper-40",
    name="Capper 40",
    family="capper",
    maker="invented",
    size=40,
    gear_ratios_milli=(2_000, 12_500),
    drum_diameter_um=80_000,
    base_diameter_um=150_000,
    height_um=170_000,
    working_load_n=9_000,
    spindle_torque_max_mnm=30_000,
    self_tailing=True,
    rope_min_um=8_000,
    rope_max_um=14_000,
    pad_diameter_um=170_000,
)
RUN = parts.Run(
    code="capper-40-a",
    model="capper-40",
    year_from=1990,
    year_to=1999,
    serial_rule=SerialRule.NUMBER,
    serial_from="100",
    serial_to="999",
    base_pattern="six-130",
    spindle="square-18",
)
DRIVE = parts.Drive(
    sku="DRIVE",
    drive_type=DriveType.RIGHT_ANGLE,
    power=Power.ELECTRIC,
    hand=DriveHand.RIGHT,
    supplied_hand=Hand.RIGHT,
    flange="round-110",
    coupling="claw",
    motor_voltage_mv=12_000,
    motor_leads=2,
    torque_mnm=20_000,
    no_load_current_ma=10_000,
    peak_current_ma=180_000,
    efficiency_milli=700,
    reversible=True,
    override=True,
    max_press_ms=60_000,
    duty_class="S2 1 min",
    clearance_um=15_000,
    largest_breaker_ma=120_000,
    solids=(
        parts.Cylinder(0, 0, 140_000, 0, 205_000),
        parts.Box(0, 300_000, -20_000, 100_000, 60_000, 180_000),
    ),
    pieces=(parts.Piece("gearbox", 140_000, 140_000, 205_000, carries_shaft=True),),
    clockings_ddeg=((0, 0), (900, 900), (1_800, 1_800), (2_700, 2_700)),
    rotations_ddeg=(0,),
)
KIT = Kit(
    Core("ADAPTER", "SHAFT", "DRIVE", Hand.RIGHT),
    Stack((("SPACER", 1),), 10_000),
    Fill("CONTROLLER", "BREAKER", "SWITCH", 2),
)
WORLD = World(
    variant=Variant(RUN),
    plug_present=False,
    deck_thickness_um=38_000,
    depth_below_deck_um=240_000,
    free_radius=((FULL_CIRCLE, 400_000),),
    datum_ddeg=300,
    opening=OpeningSize(round=True, width_um=200_000, height_um=200_000),
    pad_diameter_um=170_000,
    motor_voltage_mv=12_000,
    control_voltage_mv=12_000,
)
EASTWARD = Setting(900)
QUESTION = Question(winch=WinchGiven("capper-40", year=1995), as_of=AS_OF, assumptions=Assumptions())


def article(sku: str, kind: PartKind, **changes: Any) -> parts.Part:
    return replace(parts.Part(sku, kind, sku.title(), "invented", lead_time_days=5), **changes)


CATALOG = parts.Catalog(
    families={"capper": parts.Family("capper", "Capper", "invented", convertible=True)},
    models={"capper-40": MODEL},
    runs={"capper-40-a": RUN},
    flanges={"round-110": parts.Flange("round-110", 3, 40_000)},
    parts={
        "ADAPTER": article("ADAPTER", PartKind.ADAPTER),
        "SHAFT": article("SHAFT", PartKind.SHAFT),
        "DRIVE": article("DRIVE", PartKind.DRIVE),
        "SPACER": article("SPACER", PartKind.SPACER),
        "CONTROLLER": article("CONTROLLER", PartKind.CONTROLLER),
        "BREAKER": article("BREAKER", PartKind.BREAKER),
        "SWITCH": article("SWITCH", PartKind.SWITCH),
    },
    adapters={"ADAPTER": parts.Adapter("ADAPTER", frozenset({"six-130"}), "round-110", 12_000, 160_000)},
    shafts={
        "SHAFT": parts.Shaft(
            "SHAFT",
            Mounting.FROM_ABOVE,
            cut=False,
            cut_min_um=0,
            cut_max_um=0,
            standing_height_um=0,
            windows=(parts.ShaftWindow("square-18", "claw", 55_000, 66_000),),
        )
    },
    drives={"DRIVE": DRIVE},
    spacers={"SPACER": parts.Spacer("SPACER", "round-110", 10_000, 2)},
    controllers={
        "CONTROLLER": parts.Controller(
            "CONTROLLER", frozenset({12_000}), frozenset({12_000}), 2, 200_000, 2, plain_switches=True
        )
    },
    breakers={
        "BREAKER": parts.Breaker(
            "BREAKER",
            100_000,
            32_000,
            3_000,
            (parts.TripRow(200, 30_000, 90_000), parts.TripRow(400, 4_000, 12_000)),
        )
    },
    switches={"SWITCH": parts.Switch("SWITCH", 1, 32_000)},
)


def case(
    catalog: parts.Catalog = CATALOG,
    *,
    question: Question = QUESTION,
    kit: Kit = KIT,
    setting: Setting = EASTWARD,
    world: World = WORLD,
) -> Case:
    return Case(catalog, question, kit, setting, world)


def check(name: str, judged: Case) -> Check:
    """The check of this name (``reach.length-short``)."""
    return next(one for one in judge(judged) if one.name == name)


def failing(judged: Case) -> set[str]:
    return {one.name for one in judge(judged) if not one.passed}


def with_part(table: str, sku: str, **changes: Any) -> parts.Catalog:
    """The catalog with some fields of one row changed."""
    rows = dict(getattr(CATALOG, table))
    rows[sku] = replace(rows[sku], **changes)
    changed: dict[str, Any] = {table: rows}
    return replace(CATALOG, **changed)


def in_world(**changes: Any) -> World:
    return replace(WORLD, **changes)
