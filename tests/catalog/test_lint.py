"""The lint: one small catalog without findings, and each finding by one change to it."""

from collections.abc import Callable
from pathlib import Path

import pytest

from catalog.lint import Finding, Severity, errors_among, lint
from catalog.package import build
from tests.catalog.packages import Draft, small

Change = Callable[[Draft], object]


def findings_of(draft: Draft, folder: Path) -> list[Finding]:
    return list(lint(build(draft.package(folder))))


def test_the_small_catalog_has_no_findings(tmp_path: Path) -> None:
    assert findings_of(small(), tmp_path) == []


def ruling(draft: Draft, code: str, kind: str, sku: str, **cells: object) -> None:
    cells = cells or {"run": "osier-40-a"}
    draft.add("exceptions", code=code, kind=kind, sku=sku, reason="Tried and found so.", **cells)


def part(draft: Draft, sku: str, kind: str) -> None:
    draft.add("parts", sku=sku, kind=kind, maker="tarn", name=sku, status="current")


def second_spacer(draft: Draft) -> None:
    part(draft, "SP-3", "spacer")
    draft.add("spacers", sku="SP-3", flange="wide", thickness_mm="3", max_count=1)


def second_shaft(draft: Draft, low: str, high: str) -> None:
    part(draft, "SH-2", "shaft")
    draft.add("shafts", sku="SH-2", mounting="from-above", cut=False, standing_height_mm="0")
    draft.add("shaft_windows", sku="SH-2", spindle="square", coupling="dog", from_mm=low, to_mm=high)


def without_cut_shaft(draft: Draft) -> None:
    """The cut shaft's band would cover every seam."""
    draft.find("shaft_windows", sku="SH-CUT")["coupling"] = "collet"
    draft.add("couplings", code="collet", name="Collet")


def forbid_and_require(draft: Draft) -> None:
    ruling(draft, "always", "require", "DR-1", with_sku="SP-2", run="osier-40-a")
    ruling(draft, "never", "forbid", "SP-2", with_sku="DR-1", run="osier-40-a")


def forbid_and_allow(draft: Draft) -> None:
    ruling(draft, "never", "forbid", "AD-1", family="osier")


def forbid_what_is_required(draft: Draft) -> None:
    ruling(draft, "always", "require", "DR-1", with_sku="SP-2", model="osier-40")
    ruling(draft, "never", "forbid", "SP-2", family="osier")


def late_serials_only(draft: Draft) -> None:
    ruling(draft, "never", "forbid", "AD-1", run="osier-40-a", serial_from="1150")


def swap(draft: Draft) -> None:
    draft.add("supersessions", old="SH-1", new="SH-CUT", direction="one-way")


def another_kind(draft: Draft) -> None:
    draft.add("supersessions", old="SP-2", new="WE-1", direction="one-way")


def ring_of_three(draft: Draft) -> None:
    second_shaft(draft, "30", "40")
    draft.add("supersessions", old="SH-1", new="SH-2", direction="two-way")
    draft.add("supersessions", old="SH-2", new="SH-CUT", direction="one-way")


def twin_run(draft: Draft, **cells: object) -> None:
    draft.add(
        "runs", code="twin", model="osier-40", base_pattern="ring-6", spindle="square", plug="none", **cells
    )


FOUND: list[tuple[Change, str, str, Severity]] = [
    (forbid_and_require, "contradictory-exceptions", "always", Severity.ERROR),
    (forbid_and_allow, "contradictory-exceptions", "late-adapter", Severity.ERROR),
    (forbid_what_is_required, "contradictory-exceptions", "always", Severity.ERROR),
    (late_serials_only, "overlapping-exceptions", "late-adapter", Severity.WARNING),
    (
        lambda it: ruling(it, "tied", "require", "SP-2", with_sku="CO-1", family="osier"),
        "exception-ties-stack-to-slot",
        "tied",
        Severity.ERROR,
    ),
    (
        lambda it: ruling(it, "tied", "forbid", "SW-1", with_sku="WE-1", family="osier"),
        "exception-ties-stack-to-slot",
        "tied",
        Severity.ERROR,
    ),
    (
        lambda it: ruling(it, "loose", "allow", "SH-1", lifts="mating", family="osier"),
        "mating-allowance-without-adapter",
        "loose",
        Severity.ERROR,
    ),
    (
        lambda it: it.find("exceptions", code="late-adapter").update(serial_to="B-12"),
        "unreadable-exception-serial",
        "late-adapter",
        Severity.ERROR,
    ),
    (
        lambda it: ruling(it, "some", "forbid", "SW-1", run="rush-16-a", serial_to="99"),
        "exception-serials-without-rule",
        "some",
        Severity.WARNING,
    ),
    (swap, "supersession-cycle", "SH-1", Severity.ERROR),
    (ring_of_three, "supersession-cycle", "SH-1", Severity.ERROR),
    (another_kind, "supersession-of-another-kind", "SP-2", Severity.ERROR),
    (
        lambda it: twin_run(
            it, year_from=2005, serial_rule="prefix-number", serial_from="B-900", serial_to="C-1"
        ),
        "runs-share-serials",
        "twin",
        Severity.ERROR,
    ),
    (
        lambda it: twin_run(it, year_from=2005, serial_rule="none"),
        "runs-share-years",
        "twin",
        Severity.WARNING,
    ),
    (
        lambda it: it.find("drive_pieces", sku="DR-1", piece="gearbox").update(carries_shaft="false"),
        "no-piece-carries-shaft",
        "DR-1",
        Severity.ERROR,
    ),
    (
        lambda it: it.rows["handing_kit_drives"].clear(),
        "mates-with-nothing",
        "HK-1",
        Severity.WARNING,
    ),
    (lambda it: it.rows["handing_kit_drives"].clear(), "no-handing-kit", "DR-1", Severity.WARNING),
    (lambda it: it.rows["controller_control_volts"].clear(), "mates-with-nothing", "CO-1", Severity.WARNING),
    (
        lambda it: it.find("controllers", sku="CO-1").update(motor_leads="2"),
        "mates-with-nothing",
        "CO-1",
        Severity.WARNING,
    ),
]


@pytest.mark.parametrize(("change", "code", "subject", "severity"), FOUND)
def test_each_finding(tmp_path: Path, change: Change, code: str, subject: str, severity: Severity) -> None:
    draft = small()
    change(draft)
    found = [one for one in findings_of(draft, tmp_path) if one.code == code]
    assert [(one.subject, one.severity) for one in found if one.subject == subject] == [(subject, severity)]
    assert all(one.sentence.endswith(".") for one in found)
    assert bool(errors_among(found)) == (severity is Severity.ERROR)


def test_what_mates_with_nothing(tmp_path: Path) -> None:
    draft = small()
    draft.add("flanges", code="narrow", name="Narrow", max_spacers=1, max_stack_mm="5")
    draft.add(
        "base_patterns",
        code="ring-3",
        name="Ring of three",
        bolt_circle_mm="90",
        bolts=3,
        bolt_size="M8",
        centre_hole_mm="40",
    )
    draft.add("spindles", code="hex", name="Hexagon")
    for sku, kind in (("AD-N", "adapter"), ("AD-3", "adapter"), ("SH-H", "shaft"), ("SP-N", "spacer")):
        part(draft, sku, kind)
    draft.add("adapters", sku="AD-N", flange="narrow", thickness_mm="4", footprint_mm="150")
    draft.add("adapter_bases", sku="AD-N", base_pattern="ring-6")
    draft.add("adapters", sku="AD-3", flange="wide", thickness_mm="4", footprint_mm="150")
    draft.add("adapter_bases", sku="AD-3", base_pattern="ring-3")
    draft.add("shafts", sku="SH-H", mounting="from-above", cut=False, standing_height_mm="0")
    draft.add("shaft_windows", sku="SH-H", spindle="hex", coupling="dog", from_mm="10", to_mm="12")
    draft.add("spacers", sku="SP-N", flange="narrow", thickness_mm="2", max_count=1)
    found = findings_of(draft, tmp_path)
    assert {(one.code, one.subject) for one in found} == {
        ("mates-with-nothing", sku) for sku in ("AD-3", "AD-N", "SH-H", "SP-N")
    }
    ruling(draft, "lifted", "allow", "AD-3", lifts="mating", family="osier")
    assert "AD-3" not in {one.subject for one in findings_of(draft, tmp_path)}


def test_more_stacks_than_can_be_tried(tmp_path: Path) -> None:
    """Of 83 kinds of spacers, up to three pieces make C(86, 3) = 102,340 stacks; of 82, C(85, 3) = 98,770."""
    draft = small()
    for number in range(81):
        part(draft, f"SP-X{number}", "spacer")
        draft.add("spacers", sku=f"SP-X{number}", flange="wide", thickness_mm="1", max_count=1)
    assert "too-many-stacks" not in {one.code for one in findings_of(draft, tmp_path)}
    second_spacer(draft)
    (found,) = errors_among(findings_of(draft, tmp_path))
    assert (found.code, found.subject) == ("too-many-stacks", "wide")
    assert "102,340" in found.sentence


# --- contradictions, and what is none -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("first", "second"),
    [
        # A narrower ban within a wider permission or duty is a meant exception from it, so only told.
        (("allow", {"lifts": "era", "family": "osier"}), ("forbid", {"run": "osier-40-a"})),
        (("require", {"with_sku": "SP-2", "family": "osier"}), ("forbid", {"run": "osier-40-a"})),
    ],
)
def test_a_narrow_ban_is_only_told(
    tmp_path: Path, first: tuple[str, dict[str, str]], second: tuple[str, dict[str, str]]
) -> None:
    draft = small()
    ruling(draft, "first", first[0], "DR-1", **first[1])
    ruling(draft, "second", second[0], "DR-1", **second[1])
    assert [(one.code, one.severity) for one in findings_of(draft, tmp_path)] == [
        ("overlapping-exceptions", Severity.WARNING)
    ]


def test_rulings_for_different_winches_do_not_contradict(tmp_path: Path) -> None:
    draft = small()
    ruling(draft, "here", "allow", "DR-1", lifts="era", run="osier-40-a", serial_to="1999")
    ruling(draft, "there", "forbid", "DR-1", run="osier-40-a", serial_from="2000")
    ruling(draft, "elsewhere", "forbid", "DR-1", run="osier-40-b")
    assert findings_of(draft, tmp_path) == []


def test_a_ban_of_what_another_part_stands_for_does_not_contradict(tmp_path: Path) -> None:
    draft = small()
    second_spacer(draft)
    draft.add("supersessions", old="SP-2", new="SP-3", direction="one-way")
    forbid_what_is_required(draft)
    assert findings_of(draft, tmp_path) == []


def test_two_way_pairs_are_no_circle(tmp_path: Path) -> None:
    draft = small()
    second_shaft(draft, "30", "40")
    draft.add("supersessions", old="SH-2", new="SH-1", direction="two-way")
    assert findings_of(draft, tmp_path) == []


# --- seams --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("low", "seam"),
    [("39.9", False), ("40", False), ("40.001", False), ("40.002", True), ("40.099", True), ("40.1", False)],
)
def test_a_seam_is_narrower_than_a_tenth_and_wider_than_touching(
    tmp_path: Path,
    low: str,
    seam: bool,
) -> None:
    draft = small()
    without_cut_shaft(draft)
    draft.rows["spacers"].clear()
    draft.rows["parts"] = [row for row in draft.rows["parts"] if row["sku"] != "SP-2"]
    draft.rows["prices"] = [row for row in draft.rows["prices"] if row["sku"] != "SP-2"]
    second_shaft(draft, low, "50")
    found = [one for one in findings_of(draft, tmp_path) if one.code == "seam"]
    assert bool(found) == seam


def test_a_seam_that_a_spacer_closes_is_none(tmp_path: Path) -> None:
    """With a spacer of 2 mm the second shaft engages from 38.05 on, and covers the seam at 40."""
    draft = small()
    without_cut_shaft(draft)
    second_shaft(draft, "40.05", "50")
    seams = [one.sentence for one in findings_of(draft, tmp_path) if one.code == "seam"]
    assert not any("SH-1 ends at 40 mm" in sentence for sentence in seams)


def test_a_seam_is_told_with_its_figures(tmp_path: Path) -> None:
    draft = small()
    without_cut_shaft(draft)
    draft.find("flanges", code="wide")["max_spacers"] = "0"
    second_shaft(draft, "40.05", "50")
    (seam,) = [one for one in findings_of(draft, tmp_path) if one.code == "seam"]
    assert seam.sentence == (
        "On square and dog, SH-1 ends at 40 mm and SH-2 begins at 40.05 mm: a seam of 0.05 mm."
    )
