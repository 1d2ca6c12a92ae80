"""What a form is made of, as its templates see it: boxes, measures and choices, each with what was typed."""

from collections.abc import Sequence
from dataclasses import dataclass, field

MEASURE_PARTS = ("value", "pm", "least", "most")


@dataclass(frozen=True, slots=True)
class Box:
    """One input. ``pad`` is the keyboard that a phone shows: decimal, numeric or text."""

    name: str
    label: str
    text: str = ""
    faults: Sequence[str] = ()
    pad: str = "text"
    after: str = ""
    hint: str = ""
    kind: str = "text"

    @property
    def id(self) -> str:
        return f"field-{self.name}"

    @property
    def described_by(self) -> str:
        """The ids of what else is to be read out with the box."""
        told = [f"{self.id}-hint"] if self.hint else []
        return " ".join(told + ([f"{self.id}-fault"] if self.faults else []))


@dataclass(frozen=True, slots=True)
class Measure:
    """A measured length: the figure, its ±, or what it is at least and at most.

    ``letter`` is its mark in the sketch, ``where`` says in one line where to put the tape. ``before`` are
    boxes that stand in front, the bearings of a sector.
    """

    name: str
    label: str
    boxes: Sequence[Box]
    where: str = ""
    letter: str = ""
    faults: Sequence[str] = ()
    before: Sequence[Box] = ()

    @property
    def id(self) -> str:
        return self.boxes[0].id

    @property
    def faulty(self) -> list[Box]:
        """Boxes with faults. These are told below the row, since the boxes are narrow."""
        return [box for box in (*self.before, *self.boxes) if box.faults]


@dataclass(frozen=True, slots=True)
class Choice:
    """One of a few, all visible: (value, label) each."""

    name: str
    label: str
    options: Sequence[tuple[str, str]]
    text: str = ""
    faults: Sequence[str] = ()
    hint: str = ""

    @property
    def id(self) -> str:
        return f"field-{self.name}"

    @property
    def described_by(self) -> str:
        told = [f"{self.id}-hint"] if self.hint else []
        return " ".join(told + ([f"{self.id}-fault"] if self.faults else []))


@dataclass(frozen=True, slots=True)
class FaultLine:
    """One line of the summary over a form: where, and what is wrong there."""

    id: str
    label: str
    sentence: str


@dataclass(slots=True)
class Faults:
    """Sentences by the name of the box, measure or choice at which they stand; each once."""

    by_name: dict[str, list[str]] = field(default_factory=dict)

    def add(self, name: str, sentence: str) -> None:
        told = self.by_name.setdefault(name, [])
        if sentence not in told:
            told.append(sentence)

    def at(self, name: str) -> tuple[str, ...]:
        return tuple(self.by_name.get(name, ()))

    def __bool__(self) -> bool:
        return bool(self.by_name)
