"""The only place where an answer is put into words.

The resolver returns codes and facts; here each code has a message template, marked for translation, whose
gaps are filled with formatted facts. A page may translate the template first. Lengths are shown in the unit
asked for, limits rounded to their safe side: what is left over is rounded down, what is missing up.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from catalog.resolver.answer import Alternative, Answer, KitFound
from catalog.resolver.facts import PLAUSIBLE
from catalog.resolver.gates import NOT_CHECKED
from catalog.resolver.kits import Check
from catalog.resolver.parts import Catalog, PartKind
from catalog.resolver.question import Assumptions
from shared.units import Rounding, Unit, format_angle, format_length
from shared.words import N_


@dataclass(frozen=True, slots=True)
class Said:
    """A sentence: a code that never changes, a template to translate, and the formatted facts for "
    "its gaps."""

    code: str
    template: str
    data: Mapping[str, str]

    def __str__(self) -> str:
        return self.template.format_map(self.data)


def said(code: str, template: str, **data: object) -> Said:
    return Said(code, template, {name: str(value) for name, value in data.items()})


VERDICTS: Mapping[str, str] = {
    "yes": N_(
        "Yes, as far as the deck and the drive are concerned: in everything the survey leaves open, "
        "some kit fits."
    ),
    "depends": N_(
        "It depends, as far as the deck and the drive are concerned: within what the survey leaves open "
        "some kits fit and sometimes none does."
    ),
    "no": N_("No, as far as the deck and the drive are concerned: whatever is still open, no kit fits."),
}
SURE = N_("One kit fits in every case: it can be ordered as it is.")
SURE_CORE = N_(
    "No single kit fits in every case yet, but one adapter, shaft and drive does; take the spacers along."
)
COVER = N_("No single kit fits in every case yet; {count} kits together cover what is open.")
NO_KITS = N_("There is no kit to list.")

CHECKS: Mapping[str, tuple[str, str]] = {
    "era.replace-only": (
        N_("The family {family} takes a kit."),
        N_("The family {family} takes no kit: {reason}"),
    ),
    "era.run-years": (
        N_("The year lies within a production run."),
        N_(
            "Built in {year}, the winch is {short} outside the nearest production run, {run} ({from} to "
            "{to})."
        ),
    ),
    "era.run-serial": (
        N_("The serial number lies within a production run."),
        N_("The serial number {serial} lies in no production run of this model."),
    ),
    "era.part-not-yet": (
        N_("{sku} was to be had from {from}."),
        N_("{sku} is to be had only from {from}."),
    ),
    "era.part-expired": (N_("{sku} is to be had until {to}."), N_("{sku} was to be had until {to} only.")),
    "era.part-withdrawn": (
        N_("{sku} was still to be had at this date."),
        N_("{sku} is withdrawn."),
    ),
    "era.exception-forbid": (
        N_("The ruling {exception} does not concern this kit."),
        N_("The ruling {exception} forbids {sku} for these serials: {reason} ({document})"),
    ),
    "era.exception-require": (
        N_("The ruling {exception} is met."),
        N_("The ruling {exception} asks for {with} wherever {sku} is fitted: {reason} ({document})"),
    ),
    "reach.base-pattern": (
        N_("The adapter {adapter} bolts to the base pattern {base_pattern}."),
        N_("No base adapter bolts to the base pattern {base_pattern} of this winch."),
    ),
    "reach.flange": (N_("The flange {flange} mates."), N_("Nothing mates with the flange that is offered.")),
    "reach.spindle": (
        N_("The shaft {shaft} fits the spindle {spindle} and the coupling {coupling}."),
        N_("No drive shaft fits the spindle {spindle} of this winch."),
    ),
    "reach.plug": (
        N_("No closing plug is in the way, or it can be drawn."),
        N_("The closing plug is {plug} and cannot be drawn: {note}"),
    ),
    "reach.handing-kit": (
        N_("The drive {drive} is to be had in this hand."),
        N_("The drive {drive} is not to be had in this hand: a handing kit is missing."),
    ),
    "reach.stack-count": (
        N_("Spacers: {count}, within what the flange {flange} allows."),
        N_("Spacers: {count}, more than the flange {flange} allows."),
    ),
    "reach.stack-height": (
        N_("The stack of {thickness} is within the {most} that the flange allows."),
        N_("The stack of {thickness} is more than the {most} that the flange allows."),
    ),
    "reach.cut-length": (
        N_("The shaft {shaft} can be cut to {cut}."),
        N_("The shaft {shaft} cannot be cut to {cut}."),
    ),
    "reach.length-short": (
        N_("The shaft is {left} clear of being over-engaged (length {length}, window from {from})."),
        N_(
            "The deck is {short} too thin for this shaft: at {length} it is over-engaged, its window "
            "begins at {from}."
        ),
    ),
    "reach.length-long": (
        N_("The shaft is {left} clear of slipping (length {length}, window to {to})."),
        N_("The deck is {short} too thick for this shaft: at {length} it slips, its window ends at {to}."),
    ),
    "space.depth": (
        N_("{left} are left below the drive, which uses {used} of the depth with its spacers and clearance."),
        N_(
            "{short} of depth are missing: spacers {stack}, drive {height} and clearance {clearance} use "
            "{used}."
        ),
    ),
    "space.free-radius": (
        N_("{left} are left round the drive, with the motor at a bearing of {motor_bearing}."),
        N_("Round the shaft {short} are missing between {from} and {to}: the drive reaches {reached} there."),
    ),
    "space.footprint": (
        N_("The adapter {adapter} leaves {left} of the pad."),
        N_("The adapter {adapter} of {footprint} is {short} larger than the pad."),
    ),
    "entry.opening": (
        N_("Every piece passes the opening; the tightest, {piece}, with {left} to spare."),
        N_(
            "The piece {piece} of {drive} ({small} by {middle}) does not pass the opening: {short} are "
            "missing."
        ),
    ),
    "entry.offer-up": (
        N_("There is room to offer the drive up: {left} are left."),
        N_("The drive cannot be offered up: that takes {need} below the deck, {short} more than there are."),
    ),
    "duty.torque": (
        N_("The torque of {torque} is within the {most} that the spindle stands."),
        N_("The drive {drive} is too strong for the spindle: {torque}, and it stands {most}."),
    ),
    "duty.working-load": (
        N_("At most {pull} in the last gear, within the working load of {working_load}."),
        N_(
            "The drive {drive} is too strong: up to {pull} in the last gear, and the working load is "
            "{working_load}."
        ),
    ),
    "duty.pull": (
        N_("At least {pull} in the last gear, where {needed} are asked for."),
        N_("The drive {drive} is too weak: {pull} in the last gear, and {needed} are asked for."),
    ),
    "duty.gears": (
        N_("The drive turns both ways, for {gears} gears."),
        N_("The drive {drive} turns one way only, and the winch has {gears} gears."),
    ),
    "duty.press-time": (
        N_("The drive may be pressed for {press}; it stands {most}."),
        N_("The drive {drive} stands {most} of pressing, and {press} are asked for."),
    ),
    "feed.motor-voltage": (
        N_("Motor and boat have the same voltage, {boat}."),
        N_("The drive {drive} is for {motor}, and the boat has {boat}."),
    ),
    "feed.controller-motor": (
        N_("The controller {controller} suits the motor of {drive}."),
        N_("The controller {controller} does not suit the motor of {drive}."),
    ),
    "feed.controller-current": (
        N_("The controller {controller} stands {left} more than the peak of {peak}."),
        N_("The controller {controller} switches {most}, and the peak is {peak}."),
    ),
    "feed.control-voltage": (
        N_("The controller {controller} runs at {control}."),
        N_("The controller {controller} does not run at {control}."),
    ),
    "feed.controller-inputs": (
        N_("The controller {controller} takes {wanted} switch inputs."),
        N_("The controller {controller} does not take {wanted} plain switch inputs."),
    ),
    "feed.breaker-carry": (
        N_("The breaker {breaker} carries {carries} for {press}; the peak is {peak}."),
        N_("The breaker {breaker} carries {carries} for {press}, and the peak is {peak}."),
    ),
    "feed.breaker-size": (
        N_("The breaker of {rating} is no larger than the {largest} that the drive allows."),
        N_("The breaker of {rating} is larger than the {largest} that the drive allows."),
    ),
    "feed.breaker-voltage": (
        N_("The breaker {breaker} stands {rated}, and charging takes {needed}."),
        N_("The breaker {breaker} stands {rated} only, and charging takes {needed}."),
    ),
    "feed.switch-voltage": (
        N_("The switch {switch} stands {rated} at {control} control."),
        N_("The switch {switch} stands {rated} only, at {control} control."),
    ),
    "feed.switch-count": (
        N_("Switches: {wanted}, for the inputs asked for."),
        N_("Switches: {wanted} are needed for the inputs asked for."),
    ),
    "wishes.unmet": (
        N_("The wishes are met."),
        N_("No drive that mates with this winch is of the type and hand wished for."),
    ),
    "replacement.working-load": (
        N_("Its working load of {working_load} is enough for the old one's {old}."),
        N_("Its working load of {working_load} is below the old one's {old}."),
    ),
    "replacement.ratio": (
        N_("It is geared at least as low as the old one."),
        N_("It is geared higher than the old one."),
    ),
    "replacement.rope": (N_("It takes the same rope."), N_("It does not take the same rope.")),
    "replacement.base": (
        N_("Its base of {base} stands on the pad of {pad}."),
        N_("Its base of {base} is {short} larger than the pad of {pad} that is sure."),
    ),
    "replacement.motor-voltage": (
        N_("It is for the boat's voltage, {motor}."),
        N_("It is for {motor}, which the boat has not."),
    ),
}

BARE: Mapping[str, str] = {
    "era.part-not-yet": N_("A part that would fit is not to be had yet."),
    "era.part-expired": N_("A part that would fit is no longer to be had."),
    "era.part-withdrawn": N_("A part that would fit is withdrawn."),
    "era.exception-forbid": N_("A ruling forbids a part that would fit, for these serials."),
    "era.exception-require": N_("A ruling asks for a part that is not to be had, for these serials."),
    "feed.controller-motor": N_("No controller suits the motor."),
    "feed.controller-current": N_("No controller that suits switches the peak current."),
    "feed.controller-inputs": N_("No controller that suits takes so many plain switch inputs."),
    "feed.control-voltage": N_("No controller that suits runs at the control voltage."),
    "feed.breaker-carry": N_("No breaker that suits carries the peak for the longest press."),
    "feed.breaker-size": N_("No breaker that carries the peak is as small as the drive asks for."),
    "feed.breaker-voltage": N_("No breaker that suits stands the charging voltage."),
    "feed.switch-voltage": N_("No switch stands the control voltage."),
}
"""The same without figures, for a reason of which no one part can be named."""

GATES_SAY: Mapping[str, str] = {
    "era": N_("Production run, serial number, dates and withdrawals of parts, rulings."),
    "reach": N_("Mating of base, spindle, flange and coupling, and the length of the shaft."),
    "space": N_("Depth below the deck, free radius round the shaft, the pad on deck."),
    "entry": N_("Every piece through the opening, and room to offer the drive up."),
    "duty": N_("Torque and pull against the winch, gears, time of a press."),
    "feed": N_("Motor and control voltage, controller, breaker and switches."),
}
NOT_CHECKED_SAY: Mapping[str, str] = {
    "slope-not-checked": N_("A sloping underside of the deck, and wedges."),
    "wiring-not-checked": N_("Cables, their length and voltage drop, isolators."),
    "battery-not-checked": N_(
        "The batteries: whether they deliver the current, and how it adds up over a day."
    ),
    "hydraulic-not-checked": N_("Hydraulic drives; the catalog holds them, and no kit here has one."),
}

ASSUMED: Mapping[str, str] = {
    "press_seconds": N_("A press lasts {value} s at most."),
    "switch_inputs": N_("{value} switch inputs are wired."),
    "bedding": N_("The bedding adds {value} mm to the length."),
    "least_pull_percent": N_("The drive is to pull {value} % of the working load at least."),
}

REMARKS: Mapping[str, str] = {
    "sectors-overlap": N_("Sectors overlap; where they do, the tighter one was taken."),
    "last-time-buy": N_("A part in the list is on its last time buy: what is not ordered now may not come."),
    "takes-the-place-of-a-withdrawn-part": N_(
        "A part in the list takes the place of a withdrawn one, by its own figures."
    ),
    "unpriced": N_(
        "A kit in the list holds a part without a price in this currency at this date; it ranks last."
    ),
    "plug-to-draw": N_(
        "The spindle may still have its closing plug; it has to be drawn before the shaft can enter."
    ),
}

CAUTIONS: Mapping[str, str] = {
    "drum": N_(
        "A powered drum pulls in a hand as readily as a sheet: hands clear, hair and gloves away, no "
        "riding turns."
    ),
    "aloft": N_("Nobody is hoisted aloft on a powered winch."),
    "isolator": N_(
        "An isolator must be within reach of every station, and commissioning must show that the motor "
        "stops when "
        "the switch is let go."
    ),
    "no-override": N_("Without a hand-crank override the handle comes out before anybody presses a switch."),
    "current": N_(
        "Cables of this size, badly protected, can set a boat on fire: protection at the battery as "
        "well as at the winch."
    ),
    "defer": N_(
        "These figures are design aids. Local codes, the makers' instructions and licensed practice "
        "come first."
    ),
}

WHY: Mapping[PartKind, str] = {
    PartKind.ADAPTER: N_("Takes the winch's base pattern and carries the drive's flange."),
    PartKind.SHAFT: N_("Drives the winch's spindle from the drive's coupling, through the deck."),
    PartKind.DRIVE: N_("Gearbox and motor: turns the winch from below."),
    PartKind.HANDING_KIT: N_("Changes the drive over to the other hand."),
    PartKind.SPACER: N_("Brings the shaft into its window: {thickness} in all."),
    PartKind.CONTROLLER: N_("Switches the motor both ways and cuts out on overload."),
    PartKind.BREAKER: N_("Carries the peak for the longest press and breaks what is too much."),
    PartKind.SWITCH: N_("The buttons on deck."),
}
REVERSED = N_(
    "This handing kit reverses the rotation: swap the motor leads, so that gear 1 stays the fast one."
)

_UNITS = {
    "_um": "length",
    "_ddeg": "angle",
    "_mv": "volts",
    "_ma": "amps",
    "_mnm": "torque",
    "_n": "force",
    "_ms": "time",
}


def check_sentence(check: Check, unit: Unit = Unit.MM) -> Said:
    """One sentence for a check, passed or failed, with its margin or shortfall."""
    passed, failed = CHECKS[check.name]
    data = {name: text for name, value in check.facts.items() for name, text in _shown(name, value, unit)}
    margin = _measured(abs(check.margin), check.unit, unit, Rounding.DOWN if check.passed else Rounding.UP)
    data |= {"left" if check.passed else "short": margin}
    template = passed if check.passed else failed
    nameless = not check.passed and not {"sku", "exception", "controller", "breaker", "switch"} & data.keys()
    return Said(check.name, BARE.get(check.name, template) if nameless else template, _Gaps(data))


OPEN: Mapping[str, tuple[str, str]] = {
    "space.depth": (
        "depth_below_deck",
        N_("It uses {need} of the depth; how much there is was not measured."),
    ),
    "entry.offer-up": (
        "depth_below_deck",
        N_("Offering the drive up takes {need} of depth; how much there is was not measured."),
    ),
    "space.free-radius": (
        "free_radius",
        N_("It reaches {need} from the axis; how much is free there was not measured."),
    ),
    "space.footprint": ("pad_diameter", N_("The adapter takes {need} of the pad, which was not measured.")),
    "entry.opening": ("opening", N_("Its tightest piece asks for {need}; the opening was not measured.")),
}
"""Checks of a possible kit whose fact is open towards its better end: no margin is told, but what is
needed.
"""


NO_DEPTH = N_("The shaft comes from above: offering the drive up takes no depth of its own.")


def open_need_um(check: Check) -> int | None:
    """What a check needs of a fact that only its plausible range bounds; None where the fact was bounded.

    In its best world a possible kit meets the fact at its better end. Where that is the end of the
    plausible range, nobody measured it, and what would be left of it says nothing.
    """
    if check.name not in OPEN or not check.passed:
        return None
    limit = PLAUSIBLE[OPEN[check.name][0]].high
    needs = {name: check.facts.get(name) for name in ("used_um", "need_um", "reached_um", "footprint_um")}
    stated = [need for need in needs.values() if isinstance(need, int)]
    if limit is None or stated[0] + check.margin != limit:
        return None
    return limit - check.margin


def open_sentence(check: Check, need_um: int, unit: Unit = Unit.MM) -> Said:
    """What a check needs of a fact that was not measured."""
    if not need_um:
        return Said(check.name, NO_DEPTH, {})
    return said(check.name, OPEN[check.name][1], need=_measured(need_um, "um", unit, Rounding.UP))


class _Gaps(dict[str, str]):
    """A fact that is not known leaves a dash in its gap."""

    def __missing__(self, name: str) -> str:
        return "–"


def _shown(name: str, value: object, unit: Unit) -> Iterable[tuple[str, str]]:
    """A fact under its bare name, formatted by the unit that stands in its name."""
    for ending, kind in _UNITS.items():
        if name.endswith(ending) and isinstance(value, int):
            text = _measured(
                value, {v: k.lstrip("_") for k, v in _UNITS.items()}[kind], unit, Rounding.NEAREST
            )
            yield name.removesuffix(ending), text
            return
    yield name, "–" if value in (None, "") else str(value)


def _measured(value: int, unit_name: str, unit: Unit, rounding: Rounding) -> str:
    """A figure with its unit: lengths in ``unit``, the rest in the units that people read."""
    if unit_name == "um":
        return f"{format_length(value, unit, places=1 if unit is Unit.MM else 2, rounding=rounding)} {unit}"
    if unit_name == "ddeg":
        return f"{format_angle(value % 3600 if value != 3600 else value)}°"
    scaled = {"mv": "V", "ma": "A", "mnm": "N·m", "ms": "s"}
    if unit_name in scaled:
        return f"{value / 1000:g} {scaled[unit_name]}"
    return f"{value} {({'n': 'N', 'days': 'days', 'years': 'years'}).get(unit_name, '')}".strip()


def verdict_sentence(answer: Answer) -> Said:
    return Said(f"verdict.{answer.verdict}", VERDICTS[answer.verdict], {})


def order_sentence(answer: Answer) -> Said:
    """What can be ordered now: the second of the two questions."""
    if any(kit.standing == "sure" for kit in answer.kits):
        return Said("kits.sure", SURE, {})
    if answer.cores:
        return Said("kits.sure-core", SURE_CORE, {})
    if answer.verdict == "yes":
        return said("kits.cover", COVER, count=sum(kit.in_cover for kit in answer.kits))
    return Said("kits.none", NO_KITS, {}) if not answer.kits else _dependent(answer)


DEPENDENT = N_("{count} kits fit in some cases; each says in which.")
DEPENDENT_ONE = N_("One kit fits in some cases; it says in which.")


def _dependent(answer: Answer) -> Said:
    count = len(answer.kits)
    return said("kits.possible", DEPENDENT if count > 1 else DEPENDENT_ONE, count=count)


def gate_lines() -> list[tuple[str, bool, Said]]:
    """(gate, checked, what it looks at) for every gate and everything that is not checked."""
    checked = [(gate, True, Said(f"gate.{gate}", text, {})) for gate, text in GATES_SAY.items()]
    return checked + [
        (name, False, Said(code, NOT_CHECKED_SAY[code], {})) for name, code in NOT_CHECKED.items()
    ]


def assumed_lines(assumptions: Assumptions, names: Iterable[str]) -> list[tuple[str, int | float, Said]]:
    values = {
        "press_seconds": assumptions.press_seconds,
        "switch_inputs": assumptions.switch_inputs,
        "bedding": assumptions.bedding_um / 1000,
        "least_pull_percent": assumptions.least_pull_percent,
    }
    return [
        (name, values[name], said(f"assumed.{name}", ASSUMED[name], value=f"{values[name]:g}"))
        for name in names
    ]


def caution_lines(catalog: Catalog, answer: Answer) -> list[Said]:
    """The cautions that belong to an answer; with nothing to fit, only that the figures are design aids."""
    if not answer.kits and not answer.alternatives:
        return [Said("caution.defer", CAUTIONS["defer"], {})]
    drives = {catalog.drives[kit.kit.core.drive] for kit in answer.kits}
    codes = [
        code for code in CAUTIONS if code != "no-override" or any(not drive.override for drive in drives)
    ]
    return [Said(f"caution.{code}", CAUTIONS[code], {}) for code in codes]


def remark_lines(answer: Answer) -> list[Said]:
    return [Said(f"remark.{code}", REMARKS[code], {}) for code in answer.remarks]


def why_line(catalog: Catalog, kit: KitFound, sku: str, unit: Unit = Unit.MM) -> Said:
    """Why a part is in a kit."""
    kind = catalog.parts[sku].kind
    thickness = _measured(kit.kit.stack.thickness_um, "um", unit, Rounding.NEAREST)
    return said(f"why.{kind}", WHY[kind], thickness=thickness)


def alternative_sentence(alternative: Alternative, unit: Unit = Unit.MM) -> Said:
    """What decides about a replacement: the first check that fails, else its base."""
    failed = [check for check in alternative.checks if not check.passed]
    base = next(check for check in alternative.checks if check.code == "base")
    return check_sentence(failed[0] if failed else base, unit)


def setting_note(catalog: Catalog, kit: KitFound) -> list[Said]:
    """What the fitter must know of a kit beyond its figures."""
    core = kit.kit.core
    found = []
    if core.handing_kit and catalog.handing_kits[core.handing_kit].reverses_rotation:
        found.append(Said("note.reversed", REVERSED, {}))
    if catalog.shafts[core.shaft].cut and not kit.cut_sure:
        found.append(Said("note.cut-later", CUT_LATER, {}))
    if not any(setting.sure for setting in kit.settings):
        found.append(Said("note.provisional", PROVISIONAL, {}))
    return found


CUT_LATER = N_("Cut the shaft only once the deck is measured: no one length is right for all that is open.")
PROVISIONAL = N_(
    "PROVISIONAL: this is not right in every case that is open; measure before anything is drilled or cut."
)

__all__ = [
    "CAUTIONS",
    "CHECKS",
    "Said",
    "alternative_sentence",
    "assumed_lines",
    "caution_lines",
    "check_sentence",
    "gate_lines",
    "order_sentence",
    "remark_lines",
    "setting_note",
    "verdict_sentence",
    "why_line",
]
