"""Findings about parts that no kit can hold, since they mate with nothing."""

from collections.abc import Iterator

from catalog.lint.finding import Finding, error, warning
from catalog.resolver.parts import Catalog, DriveHand, Lifts, Mounting, Power, Spacer, Wedge


def mating_findings(catalog: Catalog) -> Iterator[Finding]:
    for sku, lacking in sorted(_lonely(catalog)):
        yield warning("mates-with-nothing", sku, f"{sku} can be in no kit: {lacking}.")
    yield from _captive_shafts(catalog)
    changed_over = {sku for kit in catalog.handing_kits.values() for sku in kit.drives}
    for drive in catalog.drives.values():
        if drive.hand is DriveHand.CONVERTIBLE and drive.sku not in changed_over:
            yield warning(
                "no-handing-kit",
                drive.sku,
                f"The drive {drive.sku} is convertible, and no handing kit is for it.",
            )


def _lonely(catalog: Catalog) -> Iterator[tuple[str, str]]:
    """(SKU, what is lacking) of every part that mates with nothing."""
    yield from _lonely_adapters(catalog)
    yield from _lonely_shafts(catalog)
    yield from _lonely_drives(catalog)
    used = {drive.flange for drive in catalog.drives.values()}
    pieces: list[Spacer | Wedge] = [*catalog.spacers.values(), *catalog.wedges.values()]
    for piece in pieces:
        if piece.flange not in used:
            yield piece.sku, f"no drive has the flange {piece.flange}"
    for kit in catalog.handing_kits.values():
        if not kit.drives:
            yield kit.sku, "it is for no drive"
    yield from _lonely_controllers(catalog)


def _lonely_adapters(catalog: Catalog) -> Iterator[tuple[str, str]]:
    patterns = {run.base_pattern for run in catalog.runs.values()}
    flanges = {drive.flange for drive in catalog.drives.values()}
    lifted = {ruling.sku for ruling in catalog.exceptions if ruling.lifts is Lifts.MATING}
    for adapter in catalog.adapters.values():
        if not adapter.bases & patterns and adapter.sku not in lifted:
            yield adapter.sku, "no production run has a base pattern that it takes"
        elif adapter.flange not in flanges:
            yield adapter.sku, f"no drive has the flange {adapter.flange}"


def _lonely_shafts(catalog: Catalog) -> Iterator[tuple[str, str]]:
    spindles = {run.spindle for run in catalog.runs.values()}
    couplings = {drive.coupling for drive in catalog.drives.values()}
    for shaft in catalog.shafts.values():
        windows = [row for row in shaft.windows if row.spindle in spindles]
        if not windows:
            yield shaft.sku, "no production run has a spindle that it fits"
        elif not any(row.coupling in couplings for row in windows):
            yield shaft.sku, "no drive has a coupling that it fits on such a spindle"


def _lonely_drives(catalog: Catalog) -> Iterator[tuple[str, str]]:
    flanges = {adapter.flange for adapter in catalog.adapters.values()}
    couplings = {row.coupling for shaft in catalog.shafts.values() for row in shaft.windows}
    for drive in catalog.drives.values():
        if drive.flange not in flanges:
            yield drive.sku, f"no adapter has the flange {drive.flange}"
        elif drive.coupling not in couplings:
            yield drive.sku, f"no shaft fits the coupling {drive.coupling}"


def _lonely_controllers(catalog: Catalog) -> Iterator[tuple[str, str]]:
    motors = {
        (drive.motor_voltage_mv, drive.motor_leads)
        for drive in catalog.drives.values()
        if drive.power is Power.ELECTRIC
    }
    for controller in catalog.controllers.values():
        if not controller.control_voltages_mv:
            yield controller.sku, "it has no control voltage"
        elif not any((volts, controller.motor_leads) in motors for volts in controller.motor_voltages_mv):
            yield controller.sku, "no drive has a motor that it switches"


def _captive_shafts(catalog: Catalog) -> Iterator[Finding]:
    """Without a piece that the shaft stands on, a kit would seem to pass an opening that is too low."""
    held = {
        row.coupling
        for shaft in catalog.shafts.values()
        if shaft.mounting is Mounting.CAPTIVE
        for row in shaft.windows
    }
    for drive in catalog.drives.values():
        if drive.coupling in held and not any(piece.carries_shaft for piece in drive.pieces):
            yield error(
                "no-piece-carries-shaft",
                drive.sku,
                f"The drive {drive.sku} can hold a captive shaft, and no piece of it is said to carry it.",
            )
