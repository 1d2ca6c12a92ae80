"""From what was typed on the sheet to a question, with every fault at its box.

The figures are read here, as they stand in boxes; what they may be is known to ``read_question`` alone. Its
faults carry JSON pointers, and each pointer leads back to a box.
"""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from catalog.pages.fields import MEASURE_PARTS, Faults
from catalog.pages.figures import read_typed_length, read_typed_number
from catalog.resolver.question import Question, read_question
from shared.errors import FaultyInput
from shared.intervals import FULL_CIRCLE, TURN, Arc, Interval, gaps
from shared.units import Unit
from shared.words import N_

Texts = Mapping[str, str]

LENGTHS = {"deck": "deck_thickness", "depth": "depth_below_deck", "pad": "pad_diameter"}
OPENINGS = {"round": "round", "width": "width", "height": "height"}
PARTS = dict(zip(MEASURE_PARTS, ("value", "plus_minus", "at_least", "at_most"), strict=True))
WHOLES = {
    "year": "/winch/year",
    "kits": "/wishes/kits",
    "press_seconds": "/assumptions/press_seconds",
    "switch_inputs": "/assumptions/switch_inputs",
    "least_pull_percent": "/assumptions/least_pull_percent",
}
WORDS = {
    "serial": "/winch/serial",
    "plug": "/winch/plug",
    "drive": "/wishes/drive",
    "hand": "/wishes/hand",
    "rank_by": "/wishes/rank_by",
    "as_of": "/as_of",
}
VOLTAGES = {"motor_voltage": "/boat/motor_voltage", "control_voltage": "/boat/control_voltage"}

SAID_ON_THE_SHEET: Mapping[str, str] = {
    "unclear-length": N_(
        "Give the figure as measured, with a ± if you like; or what it is at least, at most, or both. Not "
        "the two kinds at once."
    ),
    "unclear-opening": N_(
        "Give the diameter of a round opening, or width and height of another. Not the two at once."
    ),
    "contradictory-length": N_("What it is at least lies above what it is at most."),
    "negative-length": N_("A length cannot be below zero."),
    "missing-field": N_("A figure is missing here."),
}
"""Where the sentence of an error speaks to a program, what the sheet says instead."""


class SheetReader:
    """Reads one sheet. ``question`` is None when there are faults, which then stand in ``faults``."""

    def __init__(self, texts: Texts, *, model: str, unit: Unit, rows: int) -> None:
        self.texts, self.unit, self.rows = texts, unit, rows
        self.faults = Faults()
        self.data: dict[str, Any] = {"schema": 1, "winch": {"model": model}}
        self.sector_names: list[str] = []

    def read(self, today: date) -> Question | None:
        self._words()
        self._lengths()
        self._sectors()
        question = None
        unread = tuple(self.faults.by_name)
        try:
            question = read_question(self.data, today=today)
        except FaultyInput as faulty:
            self.place(faulty, unread)
        return None if self.faults else question

    def place(self, faulty: FaultyInput, unread: Sequence[str] = ()) -> None:
        """Put every fault of a question at the box that its pointer leads to.

        What is missing only because the box (one of ``unread``) could not be read is not said as well.
        """
        for fault in faulty.faults:
            name = self._name_of(fault.pointer)
            if not any(box == name or box.startswith(f"{name}_") for box in unread):
                said = SAID_ON_THE_SHEET.get(fault.code)
                self.faults.add(name, _(said) if said else fault.worded(_(fault.sentence)))

    # --- typed text into JSON -------------------------------------------------------------------------------

    def _text(self, name: str) -> str:
        return self.texts.get(name, "").strip()

    def _put(self, pointer: str, value: object) -> None:
        *sections, last = pointer.removeprefix("/").split("/")
        place = self.data
        for section in sections:
            place = place.setdefault(section, {})
        place[last] = value

    def _try(self, name: str, read: Callable[[str], object]) -> object | None:
        text = self._text(name)
        if not text:
            return None
        try:
            return read(text)
        except FaultyInput as fault:
            self.faults.add(name, fault.worded(_(fault.sentence)))
            return None

    def _length_of(self, text: str) -> object:
        return read_typed_length(text, self.unit)

    def _words(self) -> None:
        for name, pointer in WORDS.items():
            if self._text(name):
                self._put(pointer, self._text(name))
        for name, pointer in {**WHOLES, **VOLTAGES}.items():
            self._put(pointer, self._try(name, read_typed_number))
        self._put("/assumptions/bedding", self._try("bedding", self._length_of))
        if self._text("currency"):
            self._put("/wishes/currency", self._text("currency").upper())
        if "may_alter" in self.texts:
            self._put("/wishes/may_alter", [word for word in self._text("may_alter").split(",") if word])

    def _lengths(self) -> None:
        for name, field in LENGTHS.items():
            self._put(f"/survey/{field}", self._measure(name))
        openings = {field: self._measure(name) for name, field in OPENINGS.items()}
        if any(openings.values()):
            self._put("/survey/opening", openings)
        datum = {
            "value": self._try("datum_value", read_typed_number),
            "plus_minus": self._try("datum_pm", read_typed_number),
        }
        if any(figure is not None for figure in datum.values()):
            self._put("/survey/datum_bearing", datum)

    def _measure(self, name: str) -> dict[str, object] | None:
        """The JSON of a measured length; None when its boxes are empty, or cannot be read."""
        found = {field: self._try(f"{name}_{part}", self._length_of) for part, field in PARTS.items()}
        known = {field: figure for field, figure in found.items() if figure is not None}
        if any(f"{name}_{part}" in self.faults.by_name for part in PARTS):
            return None
        return known or None

    # --- sectors --------------------------------------------------------------------------------------------

    def _sectors(self) -> None:
        sectors = [sector for row in range(self.rows) if (sector := self._sector(f"sector{row}"))]
        rest = self._measure("rest")
        if rest:
            stretches = _left_over(sectors)
            sectors += [{"from": start, "to": end, "radius": rest} for start, end in stretches]
            self.sector_names += ["rest"] * len(stretches)
        if sectors:
            self._put("/survey/free_radius", sectors)

    def _sector(self, name: str) -> dict[str, object] | None:
        filled = any(self._text(f"{name}_{part}") for part in ("from", "to", *PARTS))
        if not filled:
            return None
        self.sector_names.append(name)
        return {
            "from": self._try(f"{name}_from", read_typed_number),
            "to": self._try(f"{name}_to", read_typed_number),
            "radius": self._measure(name),
        }

    # --- from a pointer back to a box -----------------------------------------------------------------------

    def _name_of(self, pointer: str) -> str:
        for names in (WHOLES, WORDS, VOLTAGES):
            for name, place in names.items():
                if pointer == place:
                    return name
        return self._survey_name(pointer.removeprefix("/").split("/"))

    def _survey_name(self, path: list[str]) -> str:
        section, field, *rest = [*path, ""]
        names = {field: name for name, field in LENGTHS.items()} | {"datum_bearing": "datum"}
        if section != "survey":
            return {"bedding": "bedding", "currency": "currency"}.get(field, "sheet")
        if field == "free_radius":
            return self._sector_name(rest)
        if field == "opening":
            return _boxed(rest[0], rest[1:]) if rest[0] in OPENINGS else "round"
        return _boxed(names.get(field, "sheet"), rest)

    def _sector_name(self, path: list[str]) -> str:
        if not path[0].isdecimal():
            return "sector0"
        name = self.sector_names[int(path[0])]
        if path[1] in ("from", "to") and name != "rest":
            return f"{name}_{path[1]}"
        return _boxed(name, path[2:])


def _boxed(measure: str, path: list[str]) -> str:
    """The box of a measure that the end of a pointer names, else the measure as a whole."""
    parts = {field: part for part, field in PARTS.items()}
    return f"{measure}_{parts[path[0]]}" if path and path[0] in parts else measure


def _left_over(sectors: list[dict[str, Any]]) -> list[tuple[Decimal, Decimal]]:
    """The stretches of bearings (degrees) that no sector holds. What cannot be read holds none."""
    arcs = [arc for sector in sectors if (arc := _arc(sector["from"], sector["to"]))]
    if not arcs:
        return [(Decimal(0), Decimal(360))]
    pieces = [piece for arc in arcs for piece in arc.pieces()]
    free = [(one.low or 0, (one.high or 0) + 1) for one in gaps(Interval(0, TURN - 1), pieces)]
    # Bounds belong to both neighbours: from the end of one sector to the start of the next.
    free = [(low - 1 if low else 0, high) for low, high in free]
    if len(free) > 1 and free[0][0] == 0 and free[-1][1] == TURN:
        free = [*free[1:-1], (free[-1][0], free[0][1])]
    return [(Decimal(low) / 10, Decimal(high) / 10) for low, high in free]


def _arc(start: object, end: object) -> Arc | None:
    if not isinstance(start, Decimal) or not isinstance(end, Decimal):
        return None
    low, high = round(start * 10), round(end * 10)
    if not (0 <= low <= TURN and 0 <= high <= TURN) or low == high:
        return None
    return FULL_CIRCLE if abs(high - low) == TURN else Arc.between(low, high)
