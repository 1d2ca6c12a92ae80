"""The answer as JSON: the shape that the API, the terminal and the pages show.

Lengths are mm, angles degrees, money ``{"amount", "currency"}``; every code comes with its sentence. Room
is left for ``measure_next`` and ``nearest_misses``, which are null until they are computed.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from catalog.resolver import explain
from catalog.resolver.answer import (
    ANSWER_SCHEMA,
    RESOLVER_VERSION,
    Alternative,
    Answer,
    Certificate,
    Circumstance,
    CoreFound,
    KitFound,
)
from catalog.resolver.facts import World
from catalog.resolver.kits import Check, Core, Kit
from catalog.resolver.parts import Catalog
from catalog.resolver.pricing import part_price
from catalog.resolver.question import mm, normalised
from shared.intervals import TURN, Interval
from shared.money import Money
from shared.units import Unit

Json = dict[str, Any]


def as_json(answer: Answer, catalog: Catalog, unit: Unit = Unit.MM) -> Json:
    """The whole answer; ``unit`` is for the sentences alone."""
    view = _View(answer, catalog, unit)
    return {
        "schema": ANSWER_SCHEMA,
        "verdict": answer.verdict,
        "sentence": str(explain.verdict_sentence(answer)),
        "order": _said(explain.order_sentence(answer)),
        "reasons": [view.check(check) for check in answer.reasons],
        "kits": [view.kit(number, kit) for number, kit in enumerate(answer.kits, 1)],
        "cores": [view.core(core) for core in answer.cores],
        "price": {"from": view.money(answer.price_from), "to": view.money(answer.price_to)},
        "alternatives": [view.alternative(one) for one in answer.alternatives],
        "certificate": view.certificate(answer.certificate),
        "gates": [
            {"gate": gate, "checked": checked, "code": line.code, "sentence": str(line)}
            for gate, checked, line in explain.gate_lines()
        ],
        "assumed": [
            {"name": name, "value": _number(value), "sentence": str(line)}
            for name, value, line in explain.assumed_lines(
                answer.question.assumptions, answer.question.assumed
            )
        ],
        "remarks": [_said(line) for line in explain.remark_lines(answer)],
        "cautions": [_said(line) for line in explain.caution_lines(catalog, answer)],
        "measure_next": None,
        "nearest_misses": None,
        "question": normalised(answer.question),
        "revision": {"number": answer.revision.number, "sha256": answer.revision.sha256},
        "resolver_version": RESOLVER_VERSION,
        "as_of": answer.question.as_of.isoformat(),
    }


def _said(line: explain.Said) -> Json:
    return {"code": line.code, "sentence": str(line)}


def _number(value: float) -> int | float:
    return int(value) if value == int(value) else value


def degrees(tenths: int) -> int | float:
    """Tenths of a degree as a JSON number."""
    return tenths // 10 if tenths % 10 == 0 else tenths / 10


def band(interval: Interval) -> Json:
    return {"from": _mm_or_none(interval.low), "to": _mm_or_none(interval.high)}


def _mm_or_none(length_um: int | None) -> int | float | None:
    return None if length_um is None else mm(length_um)


class _View:
    def __init__(self, answer: Answer, catalog: Catalog, unit: Unit) -> None:
        self.answer, self.catalog, self.unit = answer, catalog, unit
        self.currency = answer.question.wishes.currency
        self.as_of = answer.question.as_of
        self.numbers = {kit.kit: number for number, kit in enumerate(answer.kits, 1)}

    def money(self, minor: int | None) -> dict[str, str] | None:
        return None if minor is None else Money(minor, self.currency).as_json()

    def check(self, check: Check) -> Json:
        sentence = explain.check_sentence(check, self.unit)
        return {
            "gate": check.gate,
            "code": check.code,
            "passed": check.passed,
            "margin": _margin(check),
            "sentence": str(sentence),
            "facts": {name: value for name, value in check.facts.items() if value is not None},
        }

    def _figure(self, found: KitFound, check: Check) -> Json:
        """A figure of a kit; of a fact that was not measured no margin is told."""
        need_um = None if found.standing == "sure" else explain.open_need_um(check)
        if need_um is None:
            return self.check(check)
        sentence = explain.open_sentence(check, need_um, self.unit)
        return self.check(check) | {"margin": None, "sentence": str(sentence)}

    def kit(self, number: int, found: KitFound) -> Json:
        return {
            "number": number,
            "standing": found.standing,
            "in_cover": found.in_cover,
            "parts": [self._line(found, sku, quantity) for sku, quantity in found.kit.lines()],
            "hand": found.kit.core.hand.value,
            "price": self.money(found.price),
            "lead_time_days": found.lead_time_days,
            "deck_thickness": band(found.deck),
            "depth_needed": mm(found.depth_um),
            "settings": self._settings(found),
            "notes": [_said(line) for line in explain.setting_note(self.catalog, found)],
            "checks": [self._figure(found, check) for check in found.checks],
            "passes_in": [circumstance_json(one) for one in found.circumstances],
        }

    def _line(self, found: KitFound, sku: str, quantity: int) -> Json:
        part = self.catalog.parts[sku]
        price = part_price(part, self.currency, self.as_of)
        return {
            "sku": sku,
            "kind": part.kind.value,
            "name": part.name,
            "maker": part.maker,
            "quantity": quantity,
            "price": self.money(price),
            "lead_time_days": part.lead_time_days,
            "status": part.status.value,
            "why": str(explain.why_line(self.catalog, found, sku, self.unit)),
        }

    def _settings(self, found: KitFound) -> Json:
        drive = self.catalog.drives[found.kit.core.drive]
        return {
            "clocking": [
                {"from": degrees(one.from_ddeg), "to": degrees(one.to_ddeg), "sure": one.sure}
                for one in found.settings
            ],
            "motor_rotation": [degrees(one) for one in drive.rotations_ddeg],
            "cut_length": None
            if found.cut_length is None
            else band(found.cut_length) | {"sure": found.cut_sure},
        }

    def core(self, found: CoreFound) -> Json:
        return core_json(found.core) | {"standing": found.standing, "price": self.money(found.price)}

    def alternative(self, found: Alternative) -> Json:
        part = self.catalog.parts[found.sku]
        return {
            "sku": found.sku,
            "name": part.name,
            "maker": part.maker,
            "size": self.catalog.powered_winches[found.sku].size,
            "verdict": found.verdict,
            "sentence": str(explain.alternative_sentence(found, self.unit)),
            "price": self.money(found.price),
            "lead_time_days": found.lead_time_days,
            "checks": [self.check(check) for check in found.checks],
        }

    def certificate(self, found: Certificate) -> Json:
        return {
            "cover": [
                circumstance_json(row.circumstance)
                | {
                    "deck_thickness": band(row.deck),
                    "datum_bearing": {"from": degrees(row.datum_from_ddeg), "to": degrees(row.datum_to_ddeg)},
                    "kit": self.numbers[row.kit],
                    "clocking": degrees(row.clocking_ddeg),
                }
                for row in found.cover
            ],
            "failures": [
                circumstance_json(row.circumstance)
                | {"drive": row.drive or None, "hand": row.hand.value, "fails": list(row.fails)}
                for row in found.failures
            ],
            "passing": None if found.passing is None else self._passing(found),
            "failing": None if found.failing is None else world_json(found.failing),
        }

    def _passing(self, found: Certificate) -> Json | None:
        if found.passing is None:
            return None
        world, kit, setting = found.passing
        cut = setting.cut_length_um
        return world_json(world) | {
            "kit": self.numbers.get(kit),
            "parts": kit_json(kit),
            "clocking": degrees(setting.clocking_ddeg),
            "cut_length": None if cut is None else mm(cut),
        }


def _margin(check: Check) -> Json | None:
    """The margin in the unit that people read; None for a check without a measure."""
    if not check.unit:
        return None
    shown: Mapping[str, tuple[str, int]] = {
        "um": ("mm", 1000),
        "mnm": ("N·m", 1000),
        "ma": ("A", 1000),
        "mv": ("V", 1000),
        "ms": ("s", 1000),
        "n": ("N", 1),
    }
    unit, divisor = shown.get(check.unit, (check.unit, 1))
    return {"value": _number(check.margin / divisor), "unit": unit}


def core_json(core: Core) -> Json:
    return {
        "adapter": core.adapter,
        "shaft": core.shaft,
        "drive": core.drive,
        "hand": core.hand.value,
        "handing_kit": core.handing_kit or None,
    }


def kit_json(kit: Kit) -> list[Json]:
    return [{"sku": sku, "quantity": quantity} for sku, quantity in kit.lines()]


def circumstance_json(one: Circumstance) -> Json:
    return {
        "run": one.run,
        "exceptions": list(one.exceptions),
        "plug": "present" if one.plug_present else "absent",
        "motor_voltage": one.motor_voltage_mv // 1000,
        "control_voltage": one.control_voltage_mv // 1000,
    }


def world_json(world: World) -> Json:
    opening = world.opening
    size: Json = {"width": mm(opening.width_um), "height": mm(opening.height_um)}
    return {
        "run": world.variant.run.code if world.variant.run else None,
        "exceptions": [one.code for one in world.variant.exceptions],
        "plug": "present" if world.plug_present else "absent",
        "deck_thickness": mm(world.deck_thickness_um),
        "depth_below_deck": mm(world.depth_below_deck_um),
        "free_radius": [
            {
                "from": degrees(arc.start),
                "to": degrees((arc.start + arc.length - 1) % TURN + 1),
                "radius": mm(radius),
            }
            for arc, radius in world.free_radius
        ],
        "datum_bearing": degrees(world.datum_ddeg),
        "opening": {"round": mm(opening.width_um)} if opening.round else size,
        "pad_diameter": mm(world.pad_diameter_um),
        "motor_voltage": world.motor_voltage_mv // 1000,
        "control_voltage": world.control_voltage_mv // 1000,
    }
