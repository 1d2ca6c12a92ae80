"""Each gate, by hand: one kit that fits, and what fails when a single figure is changed. Lengths in µm."""

from dataclasses import replace
from datetime import date

import pytest

from catalog.resolver import parts
from catalog.resolver.facts import OpeningSize, Variant
from catalog.resolver.kits import Case, Setting, Stack
from catalog.resolver.parts import (
    CatalogException,
    DriveHand,
    ExceptionKind,
    Hand,
    Lifts,
    Mounting,
    Plug,
    Status,
    Supersession,
)
from catalog.resolver.question import Assumptions
from shared.intervals import Arc
from tests.resolver.one_kit import (
    CATALOG,
    DRIVE,
    KIT,
    QUESTION,
    RUN,
    case,
    check,
    failing,
    in_world,
    with_part,
)


def test_the_kit_fits() -> None:
    assert failing(case()) == set()


# --- margins, each with its arithmetic --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "margin"),
    [
        ("reach.length-short", 5_000),  # L = 12 + 38 + 10 = 60 mm; the window is 55 ... 66 mm
        ("reach.length-long", 6_000),
        ("reach.stack-count", 1),  # one of at most two of this spacer, of at most three in all
        ("reach.stack-height", 30_000),  # 40 - 10
        ("space.depth", 10_000),  # 240 - (10 + 205 + 15)
        ("space.footprint", 10_000),  # 170 - 160
        ("entry.opening", 2_010),  # 200 - sqrt(140² + 140²) = 200 - 197.98989..., rounded up to 197.990
        ("entry.offer-up", 240_000),  # dropped in from above
        ("duty.torque", 10_000),  # 30 - 20 N·m
        ("duty.working-load", 3_375),  # 20 x 12.5 / 0.04 = 6250 N; 0.9 x 6250 = 5625; 9000 - 5625
        ("duty.pull", 462),  # 0.65 x 6250 = 4062; 40 % of 9000 = 3600
        ("duty.press-time", 45_000),  # 60 - 15 s
        ("feed.controller-current", 20_000),  # 200 - 180 A
        ("feed.breaker-size", 20_000),  # 120 - 100 A
        ("feed.breaker-voltage", 17_000),  # 32 - 15 V
        ("feed.switch-count", 0),
    ],
)
def test_a_margin(name: str, margin: int) -> None:
    assert check(name, case()).margin == margin


def test_the_free_radius_is_left_beyond_the_far_corner() -> None:
    """The motor's far corner lies sqrt(300² + 100²) = 316.2277... from the axis, rounded up to 316.228."""
    assert check("space.free-radius", case()).margin == 400_000 - 316_228


def test_a_breaker_carries_between_its_rows_by_logarithms() -> None:
    """200 % for 30 s, 400 % for 4 s: 15 s are log(0.5)/log(4/30) = 0.34402 of the way, 200 x 2^0.34402."""
    assert check("feed.breaker-carry", case()).margin == 253_000 - 180_000


def test_bedding_is_part_of_the_length() -> None:
    """L = 60 mm and 2 mm of bedding, in 55 ... 66 mm; it is not below the deck and costs no depth."""
    bedded = case(question=replace(QUESTION, assumptions=Assumptions(bedding_um=2_000)))
    assert check("reach.length-short", bedded).margin == 7_000
    assert check("reach.length-long", bedded).margin == 4_000
    assert check("space.depth", bedded).margin == 10_000


# --- what fails when one thing changes --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "changed"),
    [
        ("reach.length-short", case(world=in_world(deck_thickness_um=32_999))),
        ("reach.length-long", case(world=in_world(deck_thickness_um=44_001))),
        ("reach.base-pattern", case(with_part("adapters", "ADAPTER", bases=frozenset({"five-120"})))),
        ("reach.flange", case(with_part("adapters", "ADAPTER", flange="square-90"))),
        ("reach.flange", case(with_part("spacers", "SPACER", flange="square-90"))),
        ("reach.handing-kit", case(with_part("drives", "DRIVE", hand=DriveHand.LEFT))),
        ("reach.stack-count", case(with_part("spacers", "SPACER", max_count=0))),
        ("reach.stack-height", case(with_part("flanges", "round-110", max_stack_um=9_999))),
        ("space.depth", case(world=in_world(depth_below_deck_um=229_999))),
        ("space.footprint", case(world=in_world(pad_diameter_um=159_999))),
        (
            "entry.opening",
            case(world=in_world(opening=OpeningSize(round=True, width_um=197_989, height_um=197_989))),
        ),
        (
            "entry.opening",
            case(world=in_world(opening=OpeningSize(round=False, width_um=139_999, height_um=300_000))),
        ),
        ("duty.torque", case(with_part("models", "capper-40", spindle_torque_max_mnm=19_999))),
        ("duty.working-load", case(with_part("models", "capper-40", working_load_n=5_624))),
        ("duty.pull", case(question=replace(QUESTION, assumptions=Assumptions(least_pull_percent=46)))),
        ("duty.gears", case(with_part("drives", "DRIVE", reversible=False))),
        ("duty.press-time", case(with_part("drives", "DRIVE", max_press_ms=14_999))),
        ("feed.motor-voltage", case(world=in_world(motor_voltage_mv=24_000))),
        ("feed.control-voltage", case(world=in_world(control_voltage_mv=24_000))),
        ("feed.controller-motor", case(with_part("controllers", "CONTROLLER", motor_leads=3))),
        ("feed.controller-current", case(with_part("controllers", "CONTROLLER", max_current_ma=179_999))),
        ("feed.controller-inputs", case(with_part("controllers", "CONTROLLER", plain_switches=False))),
        ("feed.breaker-carry", case(with_part("breakers", "BREAKER", rating_ma=71_000))),
        ("feed.breaker-size", case(with_part("drives", "DRIVE", largest_breaker_ma=99_999))),
        ("feed.breaker-voltage", case(with_part("breakers", "BREAKER", max_voltage_mv=14_999))),
        ("feed.switch-voltage", case(with_part("switches", "SWITCH", max_voltage_mv=11_999))),
        ("feed.switch-count", case(question=replace(QUESTION, assumptions=Assumptions(switch_inputs=3)))),
        ("era.replace-only", case(with_part("families", "capper", convertible=False))),
        ("era.part-not-yet", case(with_part("parts", "SHAFT", valid_from=date(2026, 6, 2)))),
        ("era.part-expired", case(with_part("parts", "SHAFT", valid_to=date(2026, 5, 31)))),
    ],
)
def test_one_change_fails_one_check(name: str, changed: Case) -> None:
    assert name in failing(changed)
    assert {one.partition(".")[0] for one in failing(changed)} == {name.partition(".")[0]}


def test_the_ends_of_every_limit_pass() -> None:
    assert not failing(case(world=in_world(deck_thickness_um=33_000, depth_below_deck_um=230_000)))
    assert not failing(case(world=in_world(deck_thickness_um=44_000, pad_diameter_um=160_000)))
    assert not failing(
        case(world=in_world(opening=OpeningSize(round=True, width_um=197_990, height_um=197_990)))
    )
    assert not failing(
        case(world=in_world(opening=OpeningSize(round=False, width_um=300_000, height_um=140_000)))
    )


def test_spacers_cost_the_depth_they_need() -> None:
    thicker = replace(KIT, stack=Stack((("SPACER", 2),), 20_000))
    judged = case(kit=thicker, world=in_world(deck_thickness_um=30_000, depth_below_deck_um=239_999))
    assert failing(judged) == {"space.depth"}


# --- era --------------------------------------------------------------------------------------------------


def test_a_part_is_to_be_had_until_the_day_before_it_is_withdrawn() -> None:
    on_the_day = with_part("parts", "DRIVE", status=Status.WITHDRAWN, withdrawn_on=date(2026, 6, 1))
    the_day_after = with_part("parts", "DRIVE", status=Status.WITHDRAWN, withdrawn_on=date(2026, 6, 2))
    assert failing(case(on_the_day)) == {"era.part-withdrawn"}
    assert failing(case(the_day_after)) == set()


def test_a_winch_outside_its_runs_fails_by_the_years_missing() -> None:
    late = replace(QUESTION, winch=replace(QUESTION.winch, year=2003))
    judged = case(question=late, world=in_world(variant=Variant(None)))
    assert check("era.run-years", judged).margin == -4


def ruled(kind: ExceptionKind, sku: str, with_sku: str = "", lifts: Lifts = Lifts.NOTHING) -> Variant:
    return Variant(RUN, (CatalogException("ruling", kind, sku, with_sku, lifts, run=RUN.code),))


def test_forbid_alone_and_together() -> None:
    assert failing(case(world=in_world(variant=ruled(ExceptionKind.FORBID, "SHAFT")))) == {
        "era.exception-forbid"
    }
    together = ruled(ExceptionKind.FORBID, "SHAFT", "SPACER")
    assert failing(case(world=in_world(variant=together))) == {"era.exception-forbid"}
    assert not failing(case(world=in_world(variant=ruled(ExceptionKind.FORBID, "SHAFT", "OTHER"))))
    assert not failing(case(world=in_world(variant=ruled(ExceptionKind.FORBID, "OTHER"))))


@pytest.mark.parametrize(
    ("old", "new", "two_way", "met"),
    [
        ("OLD", "SPACER", False, True),
        ("SPACER", "OLD", False, False),
        ("SPACER", "OLD", True, True),
    ],
)
def test_a_required_part_may_be_stood_for_by_the_new_one(
    old: str, new: str, two_way: bool, met: bool
) -> None:
    """The ruling asks for OLD; the kit holds SPACER. One-way, the new stands for the old and never back."""
    catalog = replace(CATALOG, supersessions=(Supersession(old, new, two_way),))
    variant = ruled(ExceptionKind.REQUIRE, "DRIVE", "OLD")
    assert (not failing(case(catalog, world=in_world(variant=variant)))) is met


def test_successors_of_successors_stand_in_too() -> None:
    chain = (Supersession("OLD", "BETWEEN", two_way=False), Supersession("BETWEEN", "SPACER", two_way=False))
    catalog = replace(CATALOG, supersessions=chain)
    variant = ruled(ExceptionKind.REQUIRE, "DRIVE", "OLD")
    assert not failing(case(catalog, world=in_world(variant=variant)))


def test_bedding_adds_to_the_length() -> None:
    """60 mm and 6 mm of bedding are 66 mm, the window's end; 6.001 mm are too many."""
    bedded = replace(QUESTION, assumptions=Assumptions(bedding_um=6_000))
    assert check("reach.length-long", case(question=bedded)).margin == 0
    too_much = replace(QUESTION, assumptions=Assumptions(bedding_um=6_001))
    assert failing(case(question=too_much)) == {"reach.length-long"}


def test_allow_lifts_era_and_mating_and_nothing_else() -> None:
    gone = with_part("parts", "DRIVE", status=Status.WITHDRAWN)
    lifted = ruled(ExceptionKind.ALLOW, "DRIVE", lifts=Lifts.ERA)
    assert not failing(case(gone, world=in_world(variant=lifted)))
    other = with_part("adapters", "ADAPTER", bases=frozenset())
    mating = ruled(ExceptionKind.ALLOW, "ADAPTER", lifts=Lifts.MATING)
    assert not failing(case(other, world=in_world(variant=mating)))
    thick = in_world(variant=mating, deck_thickness_um=50_000)
    assert failing(case(other, world=thick)) == {"reach.length-long"}


def test_forbid_beats_allow() -> None:
    both = Variant(
        RUN,
        ruled(ExceptionKind.ALLOW, "DRIVE", lifts=Lifts.ERA).exceptions
        + ruled(ExceptionKind.FORBID, "DRIVE").exceptions,
    )
    gone = with_part("parts", "DRIVE", status=Status.WITHDRAWN)
    assert failing(case(gone, world=in_world(variant=both))) == {"era.exception-forbid"}


# --- reach: plug and cut shafts ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("present", "removable", "fails"),
    [
        (True, False, True),
        (True, True, False),
        (False, False, False),
    ],
)
def test_a_plug_that_stays_is_in_the_way(present: bool, removable: bool, fails: bool) -> None:
    run = replace(RUN, plug=Plug.BONDED, plug_removable=removable)
    judged = case(world=in_world(variant=Variant(run), plug_present=present))
    assert ("reach.plug" in failing(judged)) is fails


def test_a_shaft_is_cut_within_its_limits_and_to_its_window() -> None:
    """Window -2 ... +3 mm about the length cut: L = 60 mm takes 57 ... 62 mm."""
    shaft = replace(
        CATALOG.shafts["SHAFT"],
        cut=True,
        cut_min_um=58_000,
        cut_max_um=90_000,
        windows=(parts.ShaftWindow("square-18", "claw", -2_000, 3_000),),
    )
    catalog = replace(CATALOG, shafts={"SHAFT": shaft})
    assert failing(case(catalog, setting=Setting(900, 57_000))) == {"reach.cut-length"}
    assert failing(case(catalog, setting=Setting(900, 58_000))) == set()
    assert failing(case(catalog, setting=Setting(900, 62_000))) == set()
    assert failing(case(catalog, setting=Setting(900, 62_001))) == {"reach.length-short"}


# --- space: hand, clocking, sectors -----------------------------------------------------------------------

EAST = ((Arc(0, 1_800), 400_000), (Arc(1_800, 1_800), 120_000))
"""Room for a motor on the starboard side, and elsewhere for what reaches 120 mm: at 60 degrees off the
motor's axis its side is 100 / sin 60 = 115.5 mm away, at 30 degrees 200 mm.
"""


@pytest.mark.parametrize(
    ("datum", "clocking", "fits"),
    [
        (0, 900, True),
        (0, 0, False),
        (0, 1_800, False),
        (900, 0, True),
        (300, 900, True),
        (600, 900, False),
    ],
)
def test_the_motor_lies_at_datum_plus_clocking(datum: int, clocking: int, fits: bool) -> None:
    """The right-hand motor reaches 20 mm to the left of its axis and 100 mm to the right, 300 mm out."""
    judged = case(setting=Setting(clocking), world=in_world(datum_ddeg=datum, free_radius=EAST))
    assert ("space.free-radius" not in failing(judged)) is fits


def test_the_other_hand_lies_on_the_other_side() -> None:
    """A wall 50 mm off the axis on the right of the motor: the right hand meets it, the left does not."""
    left = replace(KIT, core=replace(KIT.core, hand=Hand.LEFT))
    catalog = with_part("drives", "DRIVE", hand=DriveHand.LEFT)
    wall = ((Arc(0, 300), 400_000), (Arc(300, 600), 100_000), (Arc(900, 2_700), 400_000))
    world = in_world(datum_ddeg=0, free_radius=wall)
    assert "space.free-radius" in failing(case(setting=Setting(0), world=world))
    assert not failing(case(catalog, kit=left, setting=Setting(0), world=world))


def test_a_shared_bound_belongs_to_both_sectors() -> None:
    """The far corner lies at atan(100/300) = 18.43 degrees: one from 18.4 on meets it."""
    for end, fits in ((184, False), (185, True)):
        radii = ((Arc(0, end), 317_000), (Arc(end, 3_600 - end), 316_000))
        world = in_world(datum_ddeg=0, free_radius=radii)
        assert ("space.free-radius" not in failing(case(setting=Setting(0), world=world))) is fits


# --- entry ------------------------------------------------------------------------------------------------


def test_pieces_pass_where_the_assembly_does_not() -> None:
    whole = replace(DRIVE, pieces=(parts.Piece("whole", 420_000, 220_000, 205_000),))
    apart = replace(
        DRIVE,
        pieces=(
            parts.Piece("gearbox", 140_000, 140_000, 205_000),
            parts.Piece("motor", 300_000, 120_000, 120_000),
        ),
    )
    assert failing(case(replace(CATALOG, drives={"DRIVE": whole}))) == {"entry.opening"}
    assert failing(case(replace(CATALOG, drives={"DRIVE": apart}))) == set()


@pytest.mark.parametrize(
    ("mounting", "depth", "fails"),
    [
        (Mounting.FROM_ABOVE, 230_000, set()),
        (Mounting.CAPTIVE, 264_999, {"entry.offer-up"}),
        (Mounting.CAPTIVE, 265_000, set()),
        (Mounting.FROM_BELOW, 230_000, set()),
    ],
)
def test_a_captive_shaft_has_to_clear_the_deck(mounting: Mounting, depth: int, fails: set[str]) -> None:
    """205 mm of drive and 60 mm of shaft standing on it: 265 mm to offer it up."""
    catalog = with_part("shafts", "SHAFT", mounting=mounting, standing_height_um=60_000)
    assert failing(case(catalog, world=in_world(depth_below_deck_um=depth))) == fails
