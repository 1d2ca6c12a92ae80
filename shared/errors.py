"""The errors that the program raises on purpose. Pure: no Django import.

There are three, because three different people must act:

- ``FaultyInput``: whoever sent the input corrects it (``Unreadable`` when it cannot even be read);
- ``Refused``: a correct step that is not allowed now (``Stale`` when the thing changed meanwhile);
- ``GaveUp``: the question allows more combinations than the program is willing to try.

Anything else that our own code raises is a bug. "Does not fit" is an answer, never an exception.

An error is a class with a ``code`` (kebab-case, published, never changed), a ``title`` (the same for every
occurrence), a ``sentence`` with named gaps, an ``advice``, and the data for the gaps:

    class NegativeLength(FaultyInput):
        code = "negative-length"
        title = N_("A length is below zero")
        sentence = N_("{given} is below zero.")

    raise NegativeLength(given="-3 mm")

How an error looks over HTTP is decided in ``api/problems.py`` alone.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from string import Formatter
from types import TracebackType
from typing import Any, ClassVar, Self

from shared.words import N_

Datum = str | int | bool | None

LONGEST_DATUM = 80
_KEBAB = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*")


class PawlbookError(Exception):
    """The base of every deliberate error. Raise a subclass of the three families, never this."""

    code: ClassVar[str]
    title: ClassVar[str]
    sentence: ClassVar[str]
    advice: ClassVar[str] = ""
    gaps: ClassVar[frozenset[str]]

    def __init_subclass__(cls) -> None:
        super().__init_subclass__()
        for name in ("code", "title", "sentence"):
            if name not in vars(cls):
                raise TypeError(f"{cls.__name__} must state its own {name}.")
        if not _KEBAB.fullmatch(cls.code):
            raise TypeError(f"{cls.__name__}.code must be kebab-case, not {cls.code!r}.")
        cls.gaps = frozenset(name for _, name, _, _ in Formatter().parse(cls.sentence) if name)

    def __init__(self, *, pointer: str = "", **data: Datum) -> None:
        missing = self.gaps - data.keys()
        if missing:
            raise TypeError(f"{type(self).__name__} needs {', '.join(sorted(missing))}.")
        super().__init__(self.code)
        self.pointer = pointer
        self.data: Mapping[str, Datum] = data

    def __str__(self) -> str:
        return self.worded(self.sentence)

    def worded(self, template: str) -> str:
        """Fill the gaps of ``template``: this class's sentence, or a translation of it."""
        return template.format(**{name: _tame(value) for name, value in self.data.items()})

    def under(self, *parts: str | int) -> Self:
        """Return the same error with its pointer moved below ``parts``, as seen from the whole input."""
        moved = type(self)(pointer=json_pointer(*parts) + self.pointer, **self.data)
        return moved.with_traceback(self.__traceback__)

    def __reduce__(self) -> tuple[Any, ...]:
        # Errors cross process borders in batches; the default would call the class without its data.
        return _rebuild, (type(self), self.pointer, dict(self.data))


def _rebuild(cls: type[PawlbookError], pointer: str, data: dict[str, Datum]) -> PawlbookError:
    return cls(pointer=pointer, **data)


class FaultyInput(PawlbookError):
    """The input was read, but a value in it is not acceptable. ``pointer`` (RFC 6901) says where."""

    code = "faulty-input"
    title = N_("The input has faults")
    sentence = N_("The input cannot be used as it is.")
    advice = N_("Correct every place listed under errors and send the whole again. Nothing was stored.")

    @property
    def faults(self) -> tuple["FaultyInput", ...]:
        """The single faults, so that one and many are reported alike."""
        return (self,)


class Unreadable(FaultyInput):
    """The input could not be read at all: not JSON, not UTF-8, characters that no text may hold."""

    code = "unreadable-input"
    title = N_("The input cannot be read")
    sentence = N_("The input cannot be read: {reason}.")
    advice = N_("Send the input in the form that the documentation of this address states.")


class ManyFaults(FaultyInput):
    """Several faults of one input, reported together."""

    code = "many-faults"
    title = N_("The input has several faults")
    sentence = N_("The input has {count} faults.")

    def __init__(self, faults: Iterable[FaultyInput], *, pointer: str = "") -> None:
        flat = tuple(single for fault in faults for single in fault.faults)
        super().__init__(pointer=pointer, count=len(flat))
        self._faults = flat

    @property
    def faults(self) -> tuple[FaultyInput, ...]:
        return self._faults

    def under(self, *parts: str | int) -> "ManyFaults":
        return ManyFaults([fault.under(*parts) for fault in self._faults])

    def __reduce__(self) -> tuple[Any, ...]:
        return ManyFaults, (self._faults,)


class Refused(PawlbookError):
    """A well-formed step that the present state of things does not allow."""

    code = "refused"
    title = N_("The step is not allowed now")
    sentence = N_("This step is not allowed now.")
    advice = N_("Read the present state again; another step may have to come first. Nothing was changed.")


class Stale(Refused):
    """The thing was changed by somebody else since it was read."""

    code = "changed-meanwhile"
    title = N_("It was changed meanwhile")
    sentence = N_("It was changed since it was read.")
    advice = N_("Read it again, look at what has changed, and repeat the step on the new state.")


class GaveUp(PawlbookError):
    """Answering would take more counted steps than are allowed. Never decided by the clock.

    ``steps`` is the limit that was reached, ``narrow`` names the facts whose narrowing would help most.
    """

    code = "question-too-wide"
    title = N_("The question is too wide")
    sentence = N_("Within {steps} steps the question could not be answered; narrow {narrow}.")
    advice = N_("State one of the facts named more closely and ask again.")


class Faults:
    """Collects the faults of one input, so that all of them are reported at once.

    >>> faults = Faults()
    >>> with faults.at("survey", "deck_thickness"):
    ...     raise FaultyInput()
    >>> [fault.pointer for fault in faults.found]
    ['/survey/deck_thickness']
    """

    def __init__(self) -> None:
        self.found: list[FaultyInput] = []

    def at(self, *parts: str | int) -> "_Place":
        """Keep a fault raised in the block, placed below ``parts``, and go on after the block."""
        return _Place(self, parts)

    def raise_if_any(self) -> None:
        """Raise what was found: the fault itself when there is one, ``ManyFaults`` when there are more."""
        if len(self.found) == 1:
            raise self.found[0]
        if self.found:
            raise ManyFaults(self.found)


@dataclass(frozen=True, slots=True)
class _Place:
    """The block of one ``Faults.at``. A class, so that a type checker knows that it lets faults go by."""

    faults: Faults
    parts: tuple[str | int, ...]

    def __enter__(self) -> None:
        pass

    def __exit__(
        self, kind: type[BaseException] | None, raised: BaseException | None, trace: TracebackType | None
    ) -> bool:
        if not isinstance(raised, FaultyInput):
            return False
        self.faults.found.extend(raised.under(*self.parts).faults)
        return True


def json_pointer(*parts: str | int) -> str:
    """Make a JSON pointer (RFC 6901): ``("a/b", 0)`` becomes ``/a~1b/0``."""
    return "".join("/" + str(part).replace("~", "~0").replace("/", "~1") for part in parts)


def every_class(base: type[PawlbookError] = PawlbookError) -> list[type[PawlbookError]]:
    """Every error class imported so far, by code."""
    found = {base} if "code" in vars(base) else set()
    for child in base.__subclasses__():
        found.update(every_class(child))
    return sorted(found, key=lambda cls: (cls.code, cls.__module__))


def _tame(value: Datum) -> str:
    """A datum as it may stand in a sentence: short, on one line, without control characters."""
    text = str(value)
    short = text if len(text) <= LONGEST_DATUM else text[: LONGEST_DATUM - 1] + "…"
    return "".join(letter if letter.isprintable() else "\N{REPLACEMENT CHARACTER}" for letter in short)
