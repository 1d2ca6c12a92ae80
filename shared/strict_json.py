"""Reading JSON strictly: what is ambiguous, endless or cannot be stored is refused with its place. Pure.

Numbers become ``Decimal`` or ``int``, so that 41.5 mm is not a binary fraction. A name that stands twice in
one object is refused: which of the two was meant, nobody can tell.
"""

import json
import re
from collections import Counter
from collections.abc import Iterator, Mapping
from decimal import Decimal, InvalidOperation
from typing import Any

from shared.doors import refuse_controls
from shared.errors import Unreadable, json_pointer
from shared.units import NumberTooLong
from shared.words import N_

LONGEST_NUMBER = 40
DEEPEST = 200
"""How deep a value may lie whose texts have to be looked through."""
# Escapes, and DEL as it is, are the only ways a forbidden character gets through a reader of JSON.
_SUSPECT = re.compile(rb"\x7f|\\[bf]|\\u(?:00[01]|007f|d[89a-f])", re.IGNORECASE)


class NotJSON(Unreadable):
    code = "body-not-json"
    title = N_("Not JSON")
    sentence = N_("This is not JSON that is read here: {reason}.")
    advice = N_(
        "Send one JSON text in UTF-8, without NaN or Infinity and without a name twice in one object."
    )


def read_json(body: bytes) -> Any:  # noqa: ANN401 - whatever the JSON holds
    """Read one JSON text. Raises ``NotJSON``, ``NumberTooLong`` or ``ForbiddenCharacter``."""
    try:
        read = json.loads(
            body.decode("utf-8"),
            parse_float=_decimal,
            parse_int=_whole,
            parse_constant=_refuse_constant,
            object_pairs_hook=_object,
        )
    except UnicodeDecodeError as fault:
        raise NotJSON(reason=f"it is not UTF-8 at byte {fault.start}") from None
    except json.JSONDecodeError as fault:
        raise NotJSON(reason=f"line {fault.lineno}, column {fault.colno}: {fault.msg}") from None
    except RecursionError:
        raise _too_deep() from None
    if _SUSPECT.search(body):
        for pointer, text in _texts(read, ()):
            refuse_controls(text, where="A text", pointer=pointer)
    return read


def _decimal(text: str) -> Decimal:
    _bound(text)
    try:
        return Decimal(text)
    except InvalidOperation:  # an exponent of more digits than can be held
        raise NumberTooLong(given=text) from None


def _whole(text: str) -> int:
    _bound(text)
    return int(text)


def _bound(text: str) -> None:
    if len(text) > LONGEST_NUMBER:
        raise NumberTooLong(given=text)


def _refuse_constant(name: str) -> None:
    raise NotJSON(reason=f"{name} is not a number")


def _too_deep() -> NotJSON:
    return NotJSON(reason="it is nested too deeply")


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    if len(made) < len(pairs):
        counts = Counter(name for name, _ in pairs)
        twice = next(name for name, count in counts.items() if count > 1)
        raise NotJSON(reason=f"the name {twice[:40]} stands twice in one object")
    return made


def _texts(value: object, at: tuple[str | int, ...]) -> Iterator[tuple[str, str]]:
    """Every text of a JSON value, names included, with its pointer."""
    if len(at) > DEEPEST:
        # The reader in C goes deeper than Python may.
        raise _too_deep()
    if isinstance(value, str):
        yield json_pointer(*at), value
    elif isinstance(value, Mapping):
        for name, inner in value.items():
            yield json_pointer(*at), name
            yield from _texts(inner, (*at, name))
    elif isinstance(value, list):
        for place, inner in enumerate(value):
            yield from _texts(inner, (*at, place))
