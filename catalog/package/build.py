"""A package becomes the frozen values that the resolver reads (``catalog.resolver.parts``). Pure.

Figures change from the unit in their column's name to the resolver's integers: mm to µm, degrees to tenths,
A, V and N·m to thousandths, % to thousandths, seconds to ms, an amount to minor units. Nothing is rounded:
the package keeps no figure finer than the resolver does.
"""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from catalog.package.package import Package
from catalog.package.resources import articles, electrical, mechanical, winches
from catalog.package.resources.mechanical import DriveSolidRow, Shape
from catalog.resolver import parts
from shared.money import PLACES
from shared.units import TENTHS_PER_TURN


def build(package: Package) -> parts.Catalog:
    """The catalog of a package that was read without mistakes."""
    return parts.Catalog(
        families=_families(package),
        models=_models(package),
        runs=_runs(package),
        base_patterns=_base_patterns(package),
        flanges=_flanges(package),
        parts=_parts(package),
        adapters=_adapters(package),
        shafts=_shafts(package),
        drives=_drives(package),
        handing_kits=_handing_kits(package),
        spacers=_spacers(package),
        wedges=_wedges(package),
        controllers=_controllers(package),
        breakers=_breakers(package),
        switches=_switches(package),
        powered_winches=_powered_winches(package),
        supersessions=_supersessions(package),
        exceptions=_exceptions(package),
    )


def thousandths(figure: Decimal) -> int:
    """mm in µm, A in mA, N·m in mN·m, s in ms, ratios in thousandths."""
    return int(figure.scaleb(3))


def tenths(degrees: Decimal) -> int:
    return int(degrees.scaleb(1))


def _thousandths_or_none(figure: Decimal | None) -> int | None:
    return None if figure is None else thousandths(figure)


def _thousandths_or_zero(figure: Decimal | None) -> int:
    return 0 if figure is None else thousandths(figure)


def _by_first[R: tuple[Any, ...]](rows: Iterable[R]) -> Mapping[str, list[R]]:
    """Rows of a child table by the first value of their key, in key order."""
    found: dict[str, list[R]] = {}
    for row in rows:
        found.setdefault(row[0], []).append(row)
    return found


def _families(package: Package) -> dict[str, parts.Family]:
    return {
        row.code: parts.Family(
            code=row.code,
            name=row.name,
            maker=row.maker,
            convertible=row.convertible,
            replace_only_reason=row.replace_only_reason or "",
        )
        for row in package[winches.FAMILIES]
    }


def _models(package: Package) -> dict[str, parts.WinchModel]:
    makers = {family.code: family.maker for family in package[winches.FAMILIES]}
    gears = _by_first(package[winches.MODEL_GEARS])
    return {
        row.code: parts.WinchModel(
            code=row.code,
            name=row.name,
            family=row.family,
            maker=makers[row.family],
            size=row.size,
            gear_ratios_milli=tuple(thousandths(gear.ratio) for gear in gears[row.code]),
            drum_diameter_um=thousandths(row.drum_diameter_mm),
            base_diameter_um=thousandths(row.base_diameter_mm),
            height_um=thousandths(row.height_mm),
            working_load_n=row.working_load_n,
            spindle_torque_max_mnm=thousandths(row.spindle_torque_max_nm),
            self_tailing=row.self_tailing,
            rope_min_um=_thousandths_or_none(row.rope_min_mm),
            rope_max_um=_thousandths_or_none(row.rope_max_mm),
            pad_diameter_um=thousandths(row.pad_diameter_mm),
        )
        for row in package[winches.MODELS]
    }


def _runs(package: Package) -> dict[str, parts.Run]:
    return {
        row.code: parts.Run(
            code=row.code,
            model=row.model,
            year_from=row.year_from,
            year_to=row.year_to,
            serial_rule=row.serial_rule,
            serial_from=row.serial_from or "",
            serial_to=row.serial_to or "",
            base_pattern=row.base_pattern,
            spindle=row.spindle,
            plug=row.plug,
            plug_removable=row.plug_removable is not False,
            plug_note=row.plug_note or "",
        )
        for row in package[winches.RUNS]
    }


def _base_patterns(package: Package) -> dict[str, parts.BasePattern]:
    return {
        row.code: parts.BasePattern(
            code=row.code,
            bolt_circle_um=thousandths(row.bolt_circle_mm),
            bolts=row.bolts,
            centre_hole_um=thousandths(row.centre_hole_mm),
        )
        for row in package[winches.BASE_PATTERNS]
    }


def _flanges(package: Package) -> dict[str, parts.Flange]:
    return {
        row.code: parts.Flange(row.code, row.max_spacers, thousandths(row.max_stack_mm))
        for row in package[winches.FLANGES]
    }


def _parts(package: Package) -> dict[str, parts.Part]:
    prices = _by_first(package[articles.PRICES])
    return {
        row.sku: parts.Part(
            sku=row.sku,
            kind=row.kind,
            name=row.name,
            maker=row.maker,
            status=row.status,
            withdrawn_on=row.withdrawn_on,
            valid_from=row.valid_from,
            valid_to=row.valid_to,
            lead_time_days=row.lead_time_days,
            mass_g=row.mass_g,
            prices=tuple(_price(price) for price in prices.get(row.sku, ())),
        )
        for row in package[articles.PARTS]
    }


def _price(row: articles.PriceRow) -> parts.Price:
    return parts.Price(row.currency, row.valid_from, minor_units(row))


def minor_units(row: articles.PriceRow) -> int:
    """The amount in minor units of its currency; a settled row has no finer one."""
    return int(row.amount.scaleb(PLACES[row.currency]))


def _adapters(package: Package) -> dict[str, parts.Adapter]:
    bases = _by_first(package[mechanical.ADAPTER_BASES])
    return {
        row.sku: parts.Adapter(
            sku=row.sku,
            bases=frozenset(base.base_pattern for base in bases.get(row.sku, ())),
            flange=row.flange,
            thickness_um=thousandths(row.thickness_mm),
            footprint_um=thousandths(row.footprint_mm),
        )
        for row in package[mechanical.ADAPTERS]
    }


def _shafts(package: Package) -> dict[str, parts.Shaft]:
    windows = _by_first(package[mechanical.SHAFT_WINDOWS])
    return {
        row.sku: parts.Shaft(
            sku=row.sku,
            mounting=row.mounting,
            cut=row.cut,
            cut_min_um=_thousandths_or_zero(row.cut_min_mm),
            cut_max_um=_thousandths_or_zero(row.cut_max_mm),
            standing_height_um=thousandths(row.standing_height_mm),
            windows=tuple(
                parts.ShaftWindow(one.spindle, one.coupling, thousandths(one.from_mm), thousandths(one.to_mm))
                for one in windows.get(row.sku, ())
            ),
        )
        for row in package[mechanical.SHAFTS]
    }


def _drives(package: Package) -> dict[str, parts.Drive]:
    solids = _by_first(package[mechanical.DRIVE_SOLIDS])
    pieces = _by_first(package[mechanical.DRIVE_PIECES])
    clockings = _by_first(package[mechanical.DRIVE_CLOCKINGS])
    rotations = _by_first(package[mechanical.DRIVE_ROTATIONS])
    return {
        row.sku: parts.Drive(
            sku=row.sku,
            drive_type=row.drive_type,
            power=row.power,
            hand=row.hand,
            supplied_hand=row.supplied_hand,
            flange=row.flange,
            coupling=row.coupling,
            motor_voltage_mv=(row.motor_volts or 0) * 1000,
            motor_leads=row.motor_leads or 0,
            torque_mnm=thousandths(row.torque_nm),
            no_load_current_ma=_thousandths_or_zero(row.no_load_current_a),
            peak_current_ma=_thousandths_or_zero(row.peak_current_a),
            efficiency_milli=0 if row.efficiency_percent is None else tenths(row.efficiency_percent),
            reversible=row.reversible,
            override=row.override,
            max_press_ms=_thousandths_or_zero(row.max_press_seconds),
            duty_class=row.duty_class or "",
            clearance_um=thousandths(row.clearance_mm),
            largest_breaker_ma=_thousandths_or_zero(row.largest_breaker_a),
            solids=tuple(_solid(one) for one in solids[row.sku]),
            pieces=tuple(_piece(one) for one in pieces[row.sku]),
            clockings_ddeg=tuple(_arc(one) for one in clockings[row.sku]),
            rotations_ddeg=tuple(tenths(one.rotation_deg) for one in rotations[row.sku]),
        )
        for row in package[mechanical.DRIVES]
    }


def _solid(row: DriveSolidRow) -> parts.Solid:
    depths = (thousandths(row.depth_from_mm), thousandths(row.depth_to_mm))
    if row.shape is Shape.BOX:
        across = (row.x_from_mm, row.x_to_mm, row.y_from_mm, row.y_to_mm)
        x_from, x_to, y_from, y_to = map(_thousandths_or_zero, across)
        return parts.Box(x_from, x_to, y_from, y_to, *depths)
    round_ = (row.x_mm, row.y_mm, row.diameter_mm)
    x, y, diameter = map(_thousandths_or_zero, round_)
    return parts.Cylinder(x, y, diameter, *depths)


def _arc(row: mechanical.DriveClockingRow) -> tuple[int, int]:
    """Ends from 0 to 3599. The whole circle, 0 to 360, ends a tenth before it begins."""
    start, end = tenths(row.from_deg), tenths(row.to_deg)
    if end < TENTHS_PER_TURN:
        return start, end
    return (start, TENTHS_PER_TURN - 1) if start == 0 else (start, 0)


def _piece(row: mechanical.DrivePieceRow) -> parts.Piece:
    return parts.Piece(
        code=row.piece,
        length_um=thousandths(row.length_mm),
        width_um=thousandths(row.width_mm),
        height_um=thousandths(row.height_mm),
        carries_shaft=row.carries_shaft,
    )


def _handing_kits(package: Package) -> dict[str, parts.HandingKit]:
    drives = _by_first(package[mechanical.HANDING_KIT_DRIVES])
    return {
        row.sku: parts.HandingKit(
            sku=row.sku,
            drives=frozenset(one.drive for one in drives.get(row.sku, ())),
            reverses_rotation=row.reverses_rotation,
        )
        for row in package[mechanical.HANDING_KITS]
    }


def _spacers(package: Package) -> dict[str, parts.Spacer]:
    return {
        row.sku: parts.Spacer(row.sku, row.flange, thousandths(row.thickness_mm), row.max_count)
        for row in package[mechanical.SPACERS]
    }


def _wedges(package: Package) -> dict[str, parts.Wedge]:
    return {
        row.sku: parts.Wedge(row.sku, row.flange, tenths(row.angle_deg), thousandths(row.axis_thickness_mm))
        for row in package[mechanical.WEDGES]
    }


def _controllers(package: Package) -> dict[str, parts.Controller]:
    motor = _by_first(package[electrical.CONTROLLER_MOTOR_VOLTS])
    control = _by_first(package[electrical.CONTROLLER_CONTROL_VOLTS])
    return {
        row.sku: parts.Controller(
            sku=row.sku,
            motor_voltages_mv=frozenset(one.volts * 1000 for one in motor.get(row.sku, ())),
            control_voltages_mv=frozenset(one.volts * 1000 for one in control.get(row.sku, ())),
            motor_leads=row.motor_leads,
            max_current_ma=thousandths(row.max_current_a),
            inputs=row.inputs,
            plain_switches=row.plain_switches,
        )
        for row in package[electrical.CONTROLLERS]
    }


def _breakers(package: Package) -> dict[str, parts.Breaker]:
    trips = _by_first(package[electrical.BREAKER_TRIPS])
    return {
        row.sku: parts.Breaker(
            sku=row.sku,
            rating_ma=thousandths(row.rating_a),
            max_voltage_mv=row.max_volts * 1000,
            interrupting_capacity_a=row.interrupting_capacity_a,
            trips=tuple(
                parts.TripRow(one.percent, thousandths(one.earliest_s), thousandths(one.latest_s))
                for one in trips[row.sku]
            ),
        )
        for row in package[electrical.BREAKERS]
    }


def _switches(package: Package) -> dict[str, parts.Switch]:
    return {
        row.sku: parts.Switch(row.sku, row.buttons, row.max_volts * 1000)
        for row in package[electrical.SWITCHES]
    }


def _powered_winches(package: Package) -> dict[str, parts.PoweredWinch]:
    return {
        row.sku: parts.PoweredWinch(
            sku=row.sku,
            size=row.size,
            last_gear_ratio_milli=thousandths(row.last_gear_ratio),
            drum_diameter_um=thousandths(row.drum_diameter_mm),
            base_diameter_um=thousandths(row.base_diameter_mm),
            working_load_n=row.working_load_n,
            self_tailing=row.self_tailing,
            rope_min_um=_thousandths_or_none(row.rope_min_mm),
            rope_max_um=_thousandths_or_none(row.rope_max_mm),
            motor_voltage_mv=row.motor_volts * 1000,
        )
        for row in package[electrical.POWERED_WINCHES]
    }


def _supersessions(package: Package) -> tuple[parts.Supersession, ...]:
    return tuple(
        parts.Supersession(row.old, row.new, row.direction is articles.Direction.TWO_WAY)
        for row in package[articles.SUPERSESSIONS]
    )


def _exceptions(package: Package) -> tuple[parts.CatalogException, ...]:
    return tuple(
        parts.CatalogException(
            code=row.code,
            kind=row.kind,
            sku=row.sku,
            with_sku=row.with_sku or "",
            lifts=row.lifts or parts.Lifts.NOTHING,
            family=row.family or "",
            model=row.model or "",
            run=row.run or "",
            serial_from=row.serial_from or "",
            serial_to=row.serial_to or "",
            reason=row.reason,
            document=row.document or "",
        )
        for row in package[articles.EXCEPTIONS]
    )
