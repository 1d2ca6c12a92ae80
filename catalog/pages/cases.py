"""The cases an answer speaks of, in a few words: what was asked, in which cases a kit fits, two worlds."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import prod

from django.utils.translation import gettext as _

from catalog.pages.figures import given_length, shown_length
from catalog.pages.labels import HANDS, PLUGS, WISHES, label
from catalog.resolver.answer import Circumstance
from catalog.resolver.facts import World
from catalog.resolver.parts import Catalog, Plug, Run
from catalog.resolver.question import Question, normalised
from shared.intervals import TURN, Arc, Interval
from shared.units import Rounding, Unit, format_angle


@dataclass(frozen=True, slots=True)
class Line:
    """A name and what stands beside it; ``texts`` empty is: not known."""

    label: str
    texts: Sequence[str]
    differs: bool = False


# --- the question as it was asked ---------------------------------------------------------------------------


def question_lines(question: Question, unit: Unit) -> list[Line]:
    """Every fact of the question, those that are not known as well."""
    return [*_winch_lines(question), *_survey_lines(question, unit), *_boat_lines(question)]


def wish_lines(question: Question) -> list[Line]:
    wishes = question.wishes
    return [
        Line(_("Drive"), [label(WISHES, wishes.drive) if wishes.drive != "any" else _("any")]),
        Line(_("Hand"), [label(HANDS, wishes.hand)]),
        Line(_("Ranked by"), [label(WISHES, wishes.rank_by)]),
        Line(_("Currency"), [wishes.currency]),
    ]


def _winch_lines(question: Question) -> list[Line]:
    winch = question.winch
    plug = {None: [], True: [label(PLUGS, "present")], False: [label(PLUGS, "absent")]}[winch.plug_present]
    return [
        Line(_("Built in"), [str(winch.year)] if winch.year else []),
        Line(_("Serial number"), [winch.serial] if winch.serial else []),
        Line(_("Closing plug"), plug),
    ]


def _survey_lines(question: Question, unit: Unit) -> list[Line]:
    survey = question.survey
    opening: list[str] = []
    if survey.opening is not None:
        width, height = (_given(side, unit) for side in (survey.opening.width, survey.opening.height))
        round_one = _("round, {width}").format(width=width)
        opening = [round_one if survey.opening.round else f"{width} × {height}"]
    return [
        Line(_("Deck thickness"), _known(survey.deck_thickness, unit)),
        Line(_("Depth below deck"), _known(survey.depth_below_deck, unit)),
        Line(
            _("Free radius"),
            [f"{arc_text(one.arc)}: {_given(one.radius, unit)}" for one in survey.free_radius],
        ),
        Line(_("Datum"), _datum(question)),
        Line(_("Opening"), opening),
        Line(_("Pad"), _known(survey.pad_diameter, unit)),
    ]


def _boat_lines(question: Question) -> list[Line]:
    boat = question.boat
    return [
        Line(_("Motor voltage"), [f"{boat.motor_voltage} V"] if boat.motor_voltage else []),
        Line(_("Control voltage"), [f"{boat.control_voltage} V"] if boat.control_voltage else []),
    ]


def _known(length: Interval, unit: Unit) -> list[str]:
    text = given_length(length, unit)
    return [text] if text else []


def _given(length: Interval, unit: Unit) -> str:
    return given_length(length, unit) or _("not known")


def _datum(question: Question) -> list[str]:
    form = normalised(question).get("survey", {}).get("datum_bearing")
    if form is None:
        return []
    return [f"{form['value']}°" + (f" ± {form['plus_minus']}°" if form.get("plus_minus") else "")]


def arc_text(arc: Arc) -> str:
    if arc.is_full:
        return _("all round")
    end = (arc.start + arc.length) % TURN or TURN
    return bearings_text(arc.start, end)


def bearings_text(start: int, end: int) -> str:
    """Bearings or clockings in tenths of a degree: ``315° to 45°``, or one alone."""
    low, high = format_angle(start), format_angle(end)
    return f"{low}°" if start == end else _("{low}° to {high}°").format(low=low, high=high)


# --- in which cases -----------------------------------------------------------------------------------------


def case_lines(circumstances: Sequence[Circumstance], catalog: Catalog) -> list[str]:
    """Combinations of set facts, in one line where they are all the combinations of a few values each."""
    facets = [
        list(dict.fromkeys(values)) for values in zip(*(_facets(one) for one in circumstances), strict=True)
    ]
    if circumstances and prod(len(values) for values in facets) == len(set(circumstances)):
        return [_joined(facets, catalog)]
    return [_joined([[value] for value in _facets(one)], catalog) for one in circumstances]


def _facets(one: Circumstance) -> tuple[object, ...]:
    return (one.run, one.plug_present, one.motor_voltage_mv, one.control_voltage_mv, one.exceptions)


def _joined(facets: Sequence[Sequence[object]], catalog: Catalog) -> str:
    runs, plugs, motors, controls, rulings = facets
    found = [
        _or(run_text(catalog.runs.get(str(run))) for run in runs),
        _plug_text(plugs, runs, catalog),
        _("motor {volts} V").format(volts=_or(_volts(one) for one in motors)),
        _("control {volts} V").format(volts=_or(_volts(one) for one in controls)),
        _or(_ruling_text(one) for one in rulings if isinstance(one, tuple)) if any(rulings) else "",
    ]
    return "; ".join(text for text in found if text)


def _or(texts: Iterable[str]) -> str:
    return _(" or ").join(texts)


def _volts(value: object) -> str:
    return str(int(str(value)) // 1000)


def run_text(run: Run | None) -> str:
    """A production run by its years, and its code, which tells runs of the same years apart."""
    if run is None:
        return _("of no production run")
    years = f"{run.year_from}–{run.year_to}" if run.year_to else _("from {year}").format(year=run.year_from)
    return f"{years} ({run.code})"


def _plug_text(plugs: Sequence[object], runs: Sequence[object], catalog: Catalog) -> str:
    plugged = [run for code in runs if (run := catalog.runs.get(str(code))) and run.plug is not Plug.NONE]
    if not plugged and not any(plugs):
        return ""
    named = _or(label(PLUGS, "present" if there else "absent") for there in plugs)
    return _("plug {there}").format(there=named)


def _ruling_text(rulings: tuple[str, ...]) -> str:
    return _("under {rulings}").format(rulings=", ".join(rulings)) if rulings else _("under no ruling")


# --- two worlds, one of each outcome ------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Pair:
    """One fact in a world where a kit fits, and in one where none does."""

    label: str
    fits: Sequence[str]
    fails: Sequence[str]

    @property
    def differs(self) -> bool:
        return list(self.fits) != list(self.fails)


def world_pairs(fits: World, fails: World, unit: Unit) -> list[Pair]:
    return [
        Pair(name, one, other)
        for (name, one), (_name, other) in zip(_world(fits, unit), _world(fails, unit), strict=True)
    ]


def _world(world: World, unit: Unit) -> list[tuple[str, list[str]]]:
    opening = world.opening
    width, height = _length(opening.width_um, unit), _length(opening.height_um, unit)
    radii = [f"{arc_text(arc)}: {_length(radius, unit)}" for arc, radius in world.free_radius]
    return [
        (_("Production run"), [run_text(world.variant.run)]),
        (_("Rulings"), [one.code for one in world.variant.exceptions] or [_("none")]),
        (_("Closing plug"), [label(PLUGS, "present" if world.plug_present else "absent")]),
        (_("Deck thickness"), [_length(world.deck_thickness_um, unit)]),
        (_("Depth below deck"), [_length(world.depth_below_deck_um, unit)]),
        (_("Free radius"), radii),
        (_("Datum"), [f"{format_angle(world.datum_ddeg)}°"]),
        (
            _("Opening"),
            [_("round, {width}").format(width=width) if opening.round else f"{width} × {height}"],
        ),
        (_("Pad"), [_length(world.pad_diameter_um, unit)]),
        (_("Motor voltage"), [f"{world.motor_voltage_mv // 1000} V"]),
        (_("Control voltage"), [f"{world.control_voltage_mv // 1000} V"]),
    ]


def _length(length_um: int, unit: Unit) -> str:
    # To the micrometre in mm: the two worlds may lie that close on both sides of an edge.
    text = given_length(Interval.exactly(length_um), unit)
    return text or shown_length(length_um, unit, Rounding.NEAREST)
