"""From a question to the worlds it allows: runs and serials, sectors, open ends. Lengths in µm."""

from dataclasses import replace
from random import Random
from typing import Any

import pytest

from catalog.resolver.facts import (
    PLAUSIBLE,
    SerialYearConflict,
    Survey,
    UnknownModel,
    Variant,
    WinchIndex,
    serial_key,
    survey_of,
    tighter_sectors,
    variants_of,
)
from catalog.resolver.parts import Catalog, CatalogException, ExceptionKind, Plug, Run, SerialRule
from catalog.resolver.question import SectorGiven, WinchGiven, read_question
from shared.intervals import FULL_CIRCLE, TURN, UNKNOWN, Arc, Interval
from tests.resolver.drawn import asked
from tests.resolver.one_kit import CATALOG, MODEL, RUN

# --- serials ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rule", "serial", "key"),
    [
        (SerialRule.NUMBER, "7000", ("", 7_000)),
        (SerialRule.NUMBER, " 007000 ", ("", 7_000)),
        (SerialRule.NUMBER, "AB-7000", None),
        (SerialRule.NUMBER, "70.5", None),
        (SerialRule.NUMBER, "-7", None),
        (SerialRule.NUMBER, "", None),
        (SerialRule.NUMBER, "1" * 13, None),
        (SerialRule.NUMBER, "٧", None),
        (SerialRule.PREFIX_NUMBER, "AB-0120", ("AB", 120)),
        (SerialRule.PREFIX_NUMBER, "ab 120", ("AB", 120)),
        (SerialRule.PREFIX_NUMBER, "AB120", ("AB", 120)),
        (SerialRule.PREFIX_NUMBER, "120", ("", 120)),
        (SerialRule.PREFIX_NUMBER, "AB-", None),
        (SerialRule.PREFIX_NUMBER, "AB--120", None),
        (SerialRule.PREFIX_NUMBER, "A1B2", None),
        (SerialRule.NONE, "7000", None),
    ],
)
def test_a_serial_compares_by_the_rule_of_its_run(
    rule: SerialRule, serial: str, key: tuple[str, int] | None
) -> None:
    assert serial_key(rule, serial) == key


EARLY = replace(RUN, code="early", year_from=1980, year_to=1989, serial_from="100", serial_to="999")
LATE = replace(RUN, code="late", year_from=1989, year_to=None, serial_from="1000", serial_to="")
LETTERS = replace(
    RUN,
    code="letters",
    year_from=1985,
    year_to=1986,
    serial_rule=SerialRule.PREFIX_NUMBER,
    serial_from="AB-100",
    serial_to="AC-200",
)
PLAIN = replace(RUN, code="plain", serial_rule=SerialRule.NONE, serial_from="", serial_to="")


def index(*runs: Run, rulings: tuple[CatalogException, ...] = ()) -> WinchIndex:
    by_code = {run.code: run for run in runs}
    return WinchIndex.of(replace(CATALOG, runs=by_code, exceptions=rulings))


def runs_of(*runs: Run, **winch: Any) -> list[str | None]:
    found = variants_of(index(*runs), MODEL, WinchGiven(MODEL.code, **winch))
    return [variant.run.code if variant.run else None for variant in found]


@pytest.mark.parametrize(
    ("winch", "codes"),
    [
        ({}, ["early", "late"]),
        ({"year": 1988}, ["early"]),
        ({"year": 1989}, ["early", "late"]),  # the year in which one followed the other
        ({"year": 1990}, ["late"]),
        ({"year": 2099}, ["late"]),
        ({"year": 1979}, [None]),
        ({"serial": "100"}, ["early"]),
        ({"serial": "999"}, ["early"]),
        ({"serial": "1000"}, ["late"]),
        ({"serial": "99"}, [None]),
        ({"serial": "X-100"}, [None]),
        ({"year": 1989, "serial": "500"}, ["early"]),
        ({"year": 1979, "serial": "500"}, [None]),  # the year is of no run: an answer, by the years missing
        ({"year": 1989, "serial": "99"}, [None]),
    ],
)
def test_year_and_serial_name_the_run(winch: dict[str, Any], codes: list[str | None]) -> None:
    assert runs_of(EARLY, LATE, **winch) == codes


@pytest.mark.parametrize(
    ("serial", "codes"),
    [
        ("AB-99", [None]),
        ("AB-100", ["letters"]),
        ("AB-999999", ["letters"]),
        ("AC-200", ["letters"]),
        ("AC-201", [None]),
        ("AD-1", [None]),
        ("ac 5", ["letters"]),
        ("150", ["early"]),
    ],
)
def test_letters_come_before_numbers(serial: str, codes: list[str | None]) -> None:
    assert runs_of(EARLY, LETTERS, serial=serial) == codes


def test_a_run_without_a_rule_is_told_by_its_years_alone() -> None:
    assert runs_of(PLAIN, serial="whatever") == ["plain"]
    assert runs_of(PLAIN, EARLY, serial="5") == ["plain"]
    assert runs_of(PLAIN, serial="5", year=1979) == [None]


def test_serial_and_year_of_different_runs_are_refused() -> None:
    with pytest.raises(SerialYearConflict) as caught:
        runs_of(EARLY, LATE, year=1980, serial="5000")
    fault = caught.value
    assert (fault.pointer, fault.data["by_serial"], fault.data["by_year"]) == (
        "/winch/serial",
        "late",
        "early",
    )
    assert str(fault).startswith("Serial 5000 belongs to late, but 1980 to early.")


def test_another_models_runs_are_not_looked_at() -> None:
    assert runs_of(EARLY, replace(LATE, model="capper-50")) == ["early"]
    assert runs_of(replace(LATE, model="capper-50")) == [None]


# --- exceptions for some serials --------------------------------------------------------------------------


def ruling(code: str, first: str = "", last: str = "", **scope: str) -> CatalogException:
    return CatalogException(
        code,
        ExceptionKind.FORBID,
        "ADAPTER",
        serial_from=first,
        serial_to=last,
        **(scope or {"run": "early"}),  # type: ignore[arg-type]
    )


def classes(run: Run, *rulings: CatalogException, serial: str | None = None) -> list[set[str]]:
    found = variants_of(index(run, rulings=rulings), MODEL, WinchGiven(MODEL.code, serial=serial))
    return [{one.code for one in variant.exceptions} for variant in found]


@pytest.mark.parametrize(
    ("rulings", "expected"),
    [
        ([], [set()]),
        ([ruling("all")], [{"all"}]),
        ([ruling("some", "200", "300")], [set(), {"some"}]),
        ([ruling("first", "100", "300")], [{"first"}, set()]),
        ([ruling("last", "300", "")], [set(), {"last"}]),
        ([ruling("whole", "100", "999")], [{"whole"}]),
        ([ruling("wider", "1", "5000")], [{"wider"}]),
        ([ruling("outside", "5000", "6000")], [set()]),
        ([ruling("all"), ruling("some", "200", "300")], [{"all"}, {"all", "some"}]),
        ([ruling("a", "200", "300"), ruling("b", "250", "400")], [set(), {"a"}, {"a", "b"}, {"b"}]),
        # They meet without a serial between them: there is none of which neither holds in between.
        ([ruling("a", "100", "300"), ruling("b", "301", "999")], [{"a"}, {"b"}]),
        ([ruling("a", "100", "300"), ruling("b", "302", "999")], [{"a"}, set(), {"b"}]),
        ([ruling("one", "300", "300")], [set(), {"one"}]),
    ],
)
def test_serials_fall_into_classes_at_the_bounds_of_rulings(
    rulings: list[CatalogException], expected: list[set[str]]
) -> None:
    assert classes(EARLY, *rulings) == expected


@pytest.mark.parametrize(
    ("serial", "codes"), [("199", set()), ("200", {"some"}), ("300", {"some"}), ("301", set())]
)
def test_a_known_serial_is_of_one_class(serial: str, codes: set[str]) -> None:
    assert classes(EARLY, ruling("some", "200", "300"), serial=serial) == [codes]


def test_serials_that_do_not_compare_may_be_concerned_or_not() -> None:
    some = ruling("some", "200", "300", run="plain")
    assert classes(PLAIN, some) == [set(), {"some"}]
    assert classes(PLAIN, some, serial="250") == [set(), {"some"}]


def test_a_ruling_is_for_a_run_a_model_or_a_family() -> None:
    scoped = [
        ruling("of-run", run="early"),
        ruling("of-model", model=MODEL.code),
        ruling("of-family", family=MODEL.family),
        ruling("of-another-run", run="late"),
        ruling("of-another-model", model="capper-50"),
        ruling("of-another-family", family="drummer"),
    ]
    assert classes(EARLY, *scoped) == [{"of-run", "of-model", "of-family"}]


def test_classes_are_those_that_one_finds_serial_by_serial(rng: Random) -> None:
    """By every serial of a few letters and numbers, for random bounds of the run and of its rulings."""
    split = 0
    for _ in range(300):
        rule = rng.choice((SerialRule.NUMBER, SerialRule.PREFIX_NUMBER))
        letters = ("",) if rule is SerialRule.NUMBER else ("A", "B", "C")
        low, high = some_bounds(rng, letters)
        run = replace(EARLY, serial_rule=rule, serial_from=low, serial_to=high)
        rulings = [
            ruling(f"ruling-{number}", *some_bounds(rng, letters)) for number in range(rng.randint(0, 3))
        ]
        one_by_one = {
            frozenset(codes)
            for letter in letters
            for number in range(12)
            if runs_of(run, serial=f"{letter}{number}") == ["early"]
            for codes in classes(run, *rulings, serial=f"{letter}{number}")
        }
        found = [frozenset(codes) for codes in classes(run, *rulings)]
        assert len(found) == len(set(found))
        assert set(found) == one_by_one, (run, rulings)
        split += len(found) > 1
    assert split > 100


def some_bounds(rng: Random, letters: tuple[str, ...]) -> tuple[str, str]:
    """Two serials in order; either may be open, but the first of letters is stated."""
    low, high = sorted((rng.choice(letters), rng.randint(0, 9)) for _ in range(2))
    first = "" if rng.random() < 0.2 and letters == ("",) else f"{low[0]}{low[1]}"
    return first, "" if rng.random() < 0.2 else f"{high[0]}{high[1]}"


# --- plug and voltages ------------------------------------------------------------------------------------


def survey(catalog: Catalog = CATALOG, **sections: Any) -> Survey:
    return survey_of(read_question(asked(**sections)), catalog)


@pytest.mark.parametrize(
    ("plug", "given", "plugs"),
    [
        (Plug.NONE, None, (False,)),
        (Plug.THREADED, None, (True, False)),
        (Plug.BONDED, "present", (True,)),
        (Plug.BONDED, "absent", (False,)),
        (Plug.NONE, "present", (True,)),
    ],
)
def test_a_plug_is_open_where_a_run_has_one(plug: Plug, given: str | None, plugs: tuple[bool, ...]) -> None:
    catalog = replace(CATALOG, runs={RUN.code: replace(RUN, plug=plug)})
    assert survey(catalog, winch={"model": MODEL.code, "plug": given}).plugs == plugs


@pytest.mark.parametrize(
    ("boat", "pairs"),
    [
        ({"motor_voltage": 12}, [(12, 12)]),
        ({"motor_voltage": 24}, [(24, 12), (24, 24)]),
        ({"motor_voltage": 48}, [(48, 12), (48, 24)]),
        ({"motor_voltage": 48, "control_voltage": 24}, [(48, 24)]),
        ({"control_voltage": 24}, [(12, 24), (24, 24), (48, 24)]),
        ({}, [(12, 12), (24, 12), (24, 24), (48, 12), (48, 24)]),
    ],
)
def test_voltages_that_are_left_open(boat: dict[str, int], pairs: list[tuple[int, int]]) -> None:
    in_volts = [(motor // 1_000, control // 1_000) for motor, control in survey(boat=boat).voltages_mv]
    assert in_volts == pairs


def test_an_unknown_model_is_a_fault_at_its_place() -> None:
    with pytest.raises(UnknownModel) as caught:
        survey(winch={"model": "nowhere-1"})
    assert (caught.value.pointer, caught.value.code) == ("/winch/model", "unknown-model")


def test_a_winch_of_no_run_is_one_world_without_a_run() -> None:
    assert survey(winch={"model": MODEL.code, "year": 1950}).variants == (Variant(None),)


# --- open ends --------------------------------------------------------------------------------------------

FACTS = ("deck_thickness", "depth_below_deck", "pad_diameter")
LOWEST = {"deck_thickness": 1_000, "depth_below_deck": 0, "pad_diameter": MODEL.base_diameter_um}


@pytest.mark.parametrize("fact", FACTS)
def test_a_plausible_range_closes_open_ends_and_nothing_else(fact: str) -> None:
    low, high = LOWEST[fact], PLAUSIBLE[fact].high or 0

    def closed(**given: int) -> Interval:
        found: Interval = getattr(survey(survey={fact: given} if given else None), fact)
        return found

    assert closed() == Interval(low, high)
    assert closed(at_least=200) == Interval(200_000, high)
    assert closed(at_most=200) == Interval(low, 200_000)
    assert closed(value=200) == Interval(200_000, 200_000)
    # Measured beyond what is plausible, it is accepted as it was measured.
    beyond = high // 1_000 + 500
    assert closed(value=beyond) == Interval(high + 500_000, high + 500_000)
    assert closed(at_least=beyond) == Interval(high + 500_000, high + 500_000)
    assert closed(value=0) == Interval(0, 0)
    assert closed(at_least=0, at_most=beyond) == Interval(0, high + 500_000)


def test_openings_and_radii_are_closed_in_the_same_way() -> None:
    found = survey(survey={"opening": {"width": {"at_least": 100}, "height": {"at_most": 90}}})
    assert (found.opening_width, found.opening_height) == (Interval(100_000, 3_000_000), Interval(0, 90_000))
    assert not found.opening_round
    unknown = survey()
    assert unknown.opening_round
    assert unknown.opening_width == unknown.opening_height == Interval(0, 3_000_000)
    assert unknown.datum == FULL_CIRCLE
    [whole] = unknown.sectors
    assert (whole.arc, whole.radius) == (FULL_CIRCLE, Interval(0, 3_000_000))
    far = survey(survey={"free_radius": [{"from": 0, "to": 360, "radius": {"at_least": 5_000}}]})
    assert far.sectors[0].radius == Interval(5_000_000, 5_000_000)


# --- sectors ----------------------------------------------------------------------------------------------


def sectors(*given: tuple[int, int, dict[str, int]]) -> Survey:
    """(from, to, radius), in degrees."""
    listed = [{"from": start, "to": end, "radius": radius} for start, end, radius in given]
    return survey(survey={"free_radius": listed})


@pytest.mark.parametrize(
    ("given", "cells", "overlap"),
    [
        ([(0, 360, {"value": 3})], [(0, 3_600, 3, 3)], False),
        ([(0, 90, {"value": 3})], [(0, 900, 3, 3), (900, 2_700, 0, 3_000)], False),
        ([(315, 45, {"value": 3})], [(450, 2_700, 0, 3_000), (3_150, 900, 3, 3)], False),
        # They meet at a bound, which belongs to both: no overlap.
        ([(0, 90, {"value": 3}), (90, 360, {"value": 4})], [(0, 900, 3, 3), (900, 2_700, 4, 4)], False),
        (
            [(0, 180, {"value": 3}), (90, 360, {"value": 4})],
            [(0, 900, 3, 3), (900, 900, 3, 3), (1_800, 1_800, 4, 4)],
            True,
        ),
        (
            [(0, 360, {"value": 5}), (10, 20, {"value": 3})],
            [(100, 100, 3, 3), (200, 3_500, 5, 5)],
            True,
        ),
        ([(0, 360, {"value": 5}), (0, 360, {"value": 3})], [(0, 3_600, 3, 3)], True),
        # Each end for itself: of 4 ... 9 and 5 ... 6 the tighter lies in 4 ... 6.
        (
            [(0, 90, {"at_least": 4, "at_most": 9}), (0, 90, {"at_least": 5, "at_most": 6})],
            [(0, 900, 4, 6), (900, 2_700, 0, 3_000)],
            True,
        ),
        (
            [(0, 90, {"at_least": 4}), (0, 90, {"at_most": 6})],
            [(0, 900, 0, 6), (900, 2_700, 0, 3_000)],
            True,
        ),
    ],
)
def test_sectors_cover_the_circle_the_tighter_counting(
    given: list[tuple[int, int, dict[str, int]]], cells: list[tuple[int, int, int, int]], overlap: bool
) -> None:
    found = sectors(*given)
    assert [(one.arc.start, one.arc.length, one.radius) for one in found.sectors] == [
        (start, length, Interval(low * 1_000, high * 1_000)) for start, length, low, high in cells
    ]
    assert found.remarks == (("sectors-overlap",) if overlap else ())


def test_at_every_bearing_the_tightest_of_the_sectors_there_counts(rng: Random) -> None:
    """Between two tenths, where no bound is, exactly one cell lies, with the radii of what was measured."""
    for _ in range(60):
        given = tuple(some_sector(rng) for _ in range(rng.randint(0, 4)))
        cells, overlaps = tighter_sectors(given)
        overlapped = False
        for tenth in range(0, TURN, 50):
            between = Arc(tenth, 1)
            there = [
                one.radius.closed_by(PLAUSIBLE["free_radius"]) for one in given if one.arc.covers(between)
            ]
            [cell] = [one for one in cells if one.arc.covers(between)]
            lows, highs = [one.low or 0 for one in there], [one.high or 0 for one in there]
            expected = Interval(min(lows), min(highs)) if there else PLAUSIBLE["free_radius"]
            assert cell.radius == expected, (given, tenth)
            overlapped = overlapped or len(there) > 1
        assert overlaps is overlapped


def some_sector(rng: Random) -> SectorGiven:
    """Bounds on multiples of 10°."""
    radius = rng.choice((UNKNOWN, Interval(rng.randint(1, 9), None), Interval(5, rng.randint(5, 9))))
    return SectorGiven(Arc(rng.randrange(36) * 100, rng.choice((100, 700, 1_800, 3_500, 3_600))), radius)
