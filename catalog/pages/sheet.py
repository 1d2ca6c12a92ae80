"""The sheet on which is written what is known about the spot: its groups, filled, with faults at their boxes.

The texts are kept exactly as they were typed, under the names of their boxes. ``texts_of`` makes them from a
question, so that an answer's question can be changed; reading them again gives the same question.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from catalog.pages.fields import MEASURE_PARTS, Box, Choice, FaultLine, Faults, Measure
from catalog.pages.figures import read_typed_length, typed_length, typed_spread
from catalog.pages.reading import LENGTHS, OPENINGS
from catalog.resolver.question import MOST_SECTORS, Assumptions, Question, Wishes, normalised
from shared.errors import FaultyInput
from shared.intervals import Interval
from shared.units import Rounding, Unit

FEWEST_ROWS, MORE_ROWS = 2, 4
LONGEST_TYPED = 200
"""Longer texts are cut before they are shown again; no figure and no serial is near it."""


@dataclass(frozen=True, slots=True)
class Sheet:
    texts: Mapping[str, str] = field(default_factory=dict)
    unit: Unit = Unit.MM
    rows: int = FEWEST_ROWS
    faults: Faults = field(default_factory=Faults)

    # --- groups, in the order of the sheet ------------------------------------------------------------------

    @property
    def winch(self) -> Sequence[Box]:
        return (
            self._box("year", _("Built in"), pad="numeric", hint=_("The winch's own year, not the boat's.")),
            self._box("serial", _("Serial number"), hint=_("Stamped on the base or under the drum.")),
        )

    @property
    def plug(self) -> Choice:
        hint = _("Look up into the spindle from below. It is in the way of a shaft.")
        options = (("", _("not known")), ("present", _("there")), ("absent", _("not there")))
        return self._choice("plug", _("Closing plug in the spindle"), options, hint)

    @property
    def deck(self) -> Sequence[Measure]:
        deck = _("Along the shaft's axis, through all that is clamped: overlay, pad, skins, core, liner.")
        depth = _("From the underside of the deck straight down to the first thing in the way.")
        pad = _("Across the flat that the winch stands on, at its narrowest.")
        return (
            self._measure("deck", _("Deck thickness"), "A", deck),
            self._measure("depth", _("Depth below deck"), "B", depth),
            self._measure("pad", _("Pad"), "E", pad),
        )

    @property
    def sectors(self) -> Sequence[Measure]:
        return [self._sector(row) for row in range(self.rows)]

    @property
    def rest(self) -> Measure:
        where = _("Measured so everywhere? Fill in this line alone.")
        return self._measure("rest", _("All round, or everywhere else"), "C", where)

    @property
    def more_rows(self) -> bool:
        return self.rows < MOST_SECTORS

    @property
    def openings(self) -> Sequence[Measure]:
        return (
            self._measure("round", _("Round: diameter"), "D", _("The clear hole, frame and lip left out.")),
            self._measure("width", _("Or else: width"), "D"),
            self._measure("height", _("and height"), "D"),
        )

    @property
    def datum(self) -> Measure:
        boxes = (
            self._box("datum_value", _("bearing"), pad="decimal", after="°"),
            self._box("datum_pm", "±", pad="decimal", after="°"),
        )
        where = _("Where the mark on the winch's base points: 0° is the bow, clockwise seen from above.")
        return Measure("datum", _("Datum"), boxes, where, "F", self.faults.at("datum"))

    @property
    def boat(self) -> Sequence[Choice]:
        unknown = ("", _("not known"))
        volts = {volts: (str(volts), f"{volts} V") for volts in (12, 24, 48)}
        control = _("What the switches run at; a 48 V motor needs 12 or 24 V.")
        return (
            self._choice(
                "motor_voltage", _("Voltage for the motor"), (unknown, volts[12], volts[24], volts[48])
            ),
            self._choice("control_voltage", _("Control voltage"), (unknown, volts[12], volts[24]), control),
        )

    @property
    def wishes(self) -> Sequence[Choice]:
        any_drive = ("any", _("any"))
        drives = (any_drive, ("in-line", _("in-line")), ("right-angle", _("right-angle")))
        hands = (("any", _("any")), ("left", _("left")), ("right", _("right")))
        ranking = (("price", _("price")), ("lead-time", _("lead time")), ("margin", _("margin")))
        drive_hint = _("In-line hangs below the winch; right-angle sticks out sideways.")
        hand_hint = _("Looking down along the shaft, motor pointing away: the side its axis lies on.")
        return (
            self._choice("drive", _("Drive"), drives, drive_hint),
            self._choice("hand", _("Hand"), hands, hand_hint),
            self._choice("rank_by", _("Rank kits by"), ranking),
        )

    @property
    def wish_boxes(self) -> Sequence[Box]:
        return (
            self._box("currency", _("Currency"), hint=_("Three letters. Empty is EUR.")),
            self._box(
                "kits", _("Kits to list"), pad="numeric", hint=_("0 to 50, beside those that are needed.")
            ),
            self._box(
                "as_of", _("As of"), kind="date", hint=_("Prices and dates of that day. Empty is today.")
            ),
        )

    @property
    def assumptions(self) -> Sequence[Box]:
        usual = Assumptions()
        bedding = _("What sealant adds to the length. Empty is {figure}.").format(figure=usual.bedding_um)
        return (
            self._box(
                "press_seconds",
                _("Longest press"),
                pad="numeric",
                after="s",
                hint=_("Empty is {figure}.").format(figure=usual.press_seconds),
            ),
            self._box(
                "switch_inputs",
                _("Switch inputs"),
                pad="numeric",
                hint=_("Two for each station. Empty is {figure}.").format(figure=usual.switch_inputs),
            ),
            self._box("bedding", _("Bedding"), pad=self.length_pad, after=self.unit, hint=bedding),
            self._box(
                "least_pull_percent",
                _("Least pull"),
                pad="numeric",
                after="%",
                hint=_("Of the working load. Empty is {figure}.").format(figure=usual.least_pull_percent),
            ),
        )

    @property
    def may_alter(self) -> str | None:
        """Kept from the question, though the sheet has no box for it."""
        return self.texts.get("may_alter")

    @property
    def length_pad(self) -> str:
        """A decimal pad has no key for a fraction of an inch."""
        return "decimal" if self.unit is Unit.MM else "text"

    # --- faults ---------------------------------------------------------------------------------------------

    @property
    def sheet_faults(self) -> tuple[str, ...]:
        return self.faults.at("sheet")

    @property
    def summary(self) -> list[FaultLine]:
        """Every fault, in the order of the sheet, with the id to jump to."""
        lines = [FaultLine("sheet", "", sentence) for sentence in self.sheet_faults]
        for part in self._parts():
            lines += [FaultLine(part.id, part.label, sentence) for sentence in part.faults]
            if isinstance(part, Measure):
                boxes = (*part.before, *part.boxes)
                lines += [
                    FaultLine(box.id, f"{part.label}, {box.label}", sentence)
                    for box in boxes
                    for sentence in box.faults
                ]
        return lines

    def _parts(self) -> Sequence[Box | Measure | Choice]:
        survey = (*self.deck, self.rest, *self.sectors, *self.openings, self.datum)
        return (
            *self.winch,
            self.plug,
            *survey,
            *self.boat,
            *self.wishes,
            *self.wish_boxes,
            *self.assumptions,
        )

    # --- pieces ---------------------------------------------------------------------------------------------

    def _box(
        self, name: str, label: str, *, pad: str = "text", after: str = "", hint: str = "", kind: str = "text"
    ) -> Box:
        return Box(name, label, self.texts.get(name, ""), self.faults.at(name), pad, after, hint, kind)

    def _choice(self, name: str, label: str, options: Sequence[tuple[str, str]], hint: str = "") -> Choice:
        text = self.texts.get(name, "") or options[0][0]
        return Choice(name, label, options, text, self.faults.at(name), hint)

    def _measure(
        self, name: str, label: str, letter: str = "", where: str = "", before: Sequence[Box] = ()
    ) -> Measure:
        labels = (_("measured"), "±", _("at least"), _("at most"))
        boxes = tuple(
            self._box(f"{name}_{part}", label, pad=self.length_pad, after=self.unit)
            for part, label in zip(MEASURE_PARTS, labels, strict=True)
        )
        return Measure(name, label, boxes, where, letter, self.faults.at(name), before)

    def _sector(self, row: int) -> Measure:
        name = f"sector{row}"
        before = (
            self._box(f"{name}_from", _("from"), pad="decimal", after="°"),
            self._box(f"{name}_to", _("to"), pad="decimal", after="°"),
        )
        return self._measure(name, _("Sector {number}").format(number=row + 1), "C", before=before)


def in_unit(sheet: Sheet, unit: Unit) -> Sheet:
    """The same sheet in another unit. Bare figures keep their meaning: each is marked with its own unit."""
    if unit is sheet.unit:
        return sheet
    marked = {
        name: f"{text.strip()} {sheet.unit}"
        for name, text in sheet.texts.items()
        if _is_length(name) and _is_bare(text)
    }
    return replace(sheet, texts={**sheet.texts, **marked}, unit=unit)


def _is_length(name: str) -> bool:
    measure, _sep, part = name.rpartition("_")
    return name == "bedding" or (part in MEASURE_PARTS and measure != "datum")


def _is_bare(text: str) -> bool:
    """Whether a text can be read as a length and names no unit."""
    try:
        return read_typed_length(text, Unit.MM) != read_typed_length(text, Unit.INCH)
    except FaultyInput:
        return False


def sheet_of(question: Question, unit: Unit, *, today: date) -> Sheet:
    """A sheet filled with a question, to be changed."""
    rows = max(FEWEST_ROWS, min(len(question.survey.free_radius) + 1, MOST_SECTORS))
    return Sheet(texts_of(question, unit, today=today), unit, rows)


def texts_of(question: Question, unit: Unit, *, today: date) -> dict[str, str]:
    """What would have to be typed to ask this question. A day that has passed is left to be today."""
    form = normalised(question)
    texts = _plain_texts(form, question, today)
    survey = question.survey
    for name, field_name in LENGTHS.items():
        texts |= _measure_texts(name, getattr(survey, field_name), unit)
    if survey.opening is not None:
        given = survey.opening
        sides = {"round": given.width} if given.round else {"width": given.width, "height": given.height}
        for name in OPENINGS:
            texts |= _measure_texts(name, sides.get(name, Interval()), unit)
    if "datum_bearing" in form.get("survey", {}):
        datum = form["survey"]["datum_bearing"]
        texts |= {"datum_value": str(datum["value"]), "datum_pm": str(datum.get("plus_minus", ""))}
    return texts | _sector_texts(question, form, unit)


def _plain_texts(form: dict[str, Any], question: Question, today: date) -> dict[str, str]:
    texts = {
        name: str(value) for section in ("winch", "boat") for name, value in form.get(section, {}).items()
    }
    texts.pop("model")
    wishes, usual = form["wishes"], Wishes()
    texts |= {name: str(wishes[name]) for name in ("drive", "hand", "rank_by", "currency", "kits")}
    if question.wishes.kits == usual.kits:
        texts.pop("kits")
    if question.wishes.may_alter is not None:
        texts["may_alter"] = ",".join(question.wishes.may_alter)
    usual_form = Assumptions()
    for name in ("press_seconds", "switch_inputs", "least_pull_percent"):
        if getattr(question.assumptions, name) != getattr(usual_form, name):
            texts[name] = str(getattr(question.assumptions, name))
    if question.assumptions.bedding_um:
        texts["bedding"] = f"{form['assumptions']['bedding']} {Unit.MM}"
    if question.as_of > today:
        texts["as_of"] = question.as_of.isoformat()
    return texts


def _sector_texts(question: Question, form: dict[str, Any], unit: Unit) -> dict[str, str]:
    sectors = question.survey.free_radius
    if len(sectors) == 1 and sectors[0].arc.is_full:
        return _measure_texts("rest", sectors[0].radius, unit)
    texts: dict[str, str] = {}
    for row, (sector, given) in enumerate(zip(sectors, _sectors(form), strict=True)):
        texts |= {f"sector{row}_from": str(given["from"]), f"sector{row}_to": str(given["to"])}
        texts |= _measure_texts(f"sector{row}", sector.radius, unit)
    return texts


def _sectors(form: dict[str, Any]) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = form.get("survey", {}).get("free_radius", [])
    return found


def _measure_texts(name: str, length: Interval, unit: Unit) -> dict[str, str]:
    if length.low is not None and length.is_point:
        return {f"{name}_value": typed_length(length.low, unit)}
    spread = typed_spread(length, unit)
    if spread:
        return {f"{name}_value": spread[0], f"{name}_pm": spread[1]}
    ends = {"least": (length.low, Rounding.DOWN), "most": (length.high, Rounding.UP)}
    return {
        f"{name}_{part}": typed_length(end, unit, rounding)
        for part, (end, rounding) in ends.items()
        if end is not None
    }
