"""Findings about seams: gaps between two bands of length that are too narrow to be meant.

Worked example: one shaft engages from 30 to 40 mm, the next one from 40.05 to 50 mm. At 40.02 mm neither
does; the seam of 0.05 mm comes from rounding in a leaflet, not from the parts. Bands that end at 40 mm and
begin at 40.001 mm touch.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from catalog.lint.finding import Finding, warning
from catalog.lint.stacks import MOST_STACKS, spacers_by_flange, stacks_of
from catalog.resolver.parts import Catalog, Flange, Shaft, ShaftWindow, Spacer
from shared.units import format_length

SEAM_UM = 100
TOUCHING_UM = 1
MOST_BANDS = 50_000
"""Beyond so many bands of one spindle and coupling, seams are not looked for, and a finding says so."""


@dataclass(frozen=True, slots=True)
class Band:
    """Between which lengths, without spacers, a shaft engages with a stack of this thickness."""

    low_um: int
    high_um: int
    shaft: str
    stack_um: int


def seam_findings(catalog: Catalog) -> Iterator[Finding]:
    """Every seam, told once for each pair of shafts, spindle and coupling."""
    told: set[tuple[str, str, str, str]] = set()
    stacks_at = _stacks_at(catalog)
    for (spindle, coupling), windows in sorted(_windows(catalog).items()):
        for stacks in sorted(stacks_at.get(coupling, ())):
            if len(stacks) * len(windows) > MOST_BANDS:
                yield _too_many(spindle, coupling)
                continue
            for below, above in _seams(_bands(windows, stacks)):
                key = (below.shaft, above.shaft, spindle, coupling)
                if key not in told:
                    told.add(key)
                    yield _finding(below, above, spindle, coupling)


def _too_many(spindle: str, coupling: str) -> Finding:
    return warning(
        "seams-not-checked",
        coupling,
        f"On {spindle} and {coupling} shafts and spacers make too many bands to look for seams.",
    )


def _finding(below: Band, above: Band, spindle: str, coupling: str) -> Finding:
    gap = format_length(above.low_um - below.high_um)
    return warning(
        "seam",
        above.shaft,
        f"On {spindle} and {coupling}, {below.shaft}{_with(below)} ends at {format_length(below.high_um)} mm "
        f"and {above.shaft}{_with(above)} begins at {format_length(above.low_um)} mm: a seam of {gap} mm.",
    )


def _with(band: Band) -> str:
    return f" with {format_length(band.stack_um)} mm of spacers" if band.stack_um else ""


def _windows(catalog: Catalog) -> dict[tuple[str, str], list[tuple[Shaft, ShaftWindow]]]:
    found: dict[tuple[str, str], list[tuple[Shaft, ShaftWindow]]] = {}
    for shaft in catalog.shafts.values():
        for row in shaft.windows:
            found.setdefault((row.spindle, row.coupling), []).append((shaft, row))
    return found


def _stacks_at(catalog: Catalog) -> dict[str, set[tuple[int, ...]]]:
    """By coupling: for each flange of its drives, the thicknesses that the flange's stacks can have."""
    spacers = spacers_by_flange(catalog)
    stacks = {
        code: _thicknesses(flange, spacers.get(code, ()))
        for code, flange in catalog.flanges.items()
        if stacks_of(flange, len(spacers.get(code, ()))) <= MOST_STACKS
    }
    found: dict[str, set[tuple[int, ...]]] = {}
    for drive in catalog.drives.values():
        if drive.flange in stacks:
            found.setdefault(drive.coupling, set()).add(stacks[drive.flange])
    return found


def _thicknesses(flange: Flange, spacers: Iterable[Spacer]) -> tuple[int, ...]:
    """Every thickness, 0 included, that the spacers make within the limits."""
    made = {(0, 0)}
    for spacer in spacers:
        made |= {
            (pieces + count, thickness + count * spacer.thickness_um)
            for pieces, thickness in made
            for count in range(1, spacer.max_count + 1)
            if pieces + count <= flange.max_spacers
            and thickness + count * spacer.thickness_um <= flange.max_stack_um
        }
    return tuple(sorted({thickness for _, thickness in made}))


def _bands(windows: Iterable[tuple[Shaft, ShaftWindow]], stacks: Iterable[int]) -> list[Band]:
    bands = []
    for shaft, row in windows:
        shortest, longest = (shaft.cut_min_um, shaft.cut_max_um) if shaft.cut else (0, 0)
        bands += [
            Band(shortest + row.from_um - stack, longest + row.to_um - stack, shaft.sku, stack)
            for stack in stacks
        ]
    return sorted(bands, key=lambda band: (band.low_um, band.stack_um, band.shaft))


def _seams(bands: list[Band]) -> Iterator[tuple[Band, Band]]:
    """Neighbours that leave a narrow gap which no other band covers."""
    if not bands:
        return
    reaching = bands[0]
    for band in bands[1:]:
        gap = band.low_um - reaching.high_um
        if TOUCHING_UM < gap < SEAM_UM:
            yield reaching, band
        if band.high_um > reaching.high_um:
            reaching = band
