"""What no text may hold, and how much a request may carry. Refused at the door, before anything reads it.

A NUL cannot be stored by PostgreSQL, a lone surrogate cannot be encoded, and the other control characters
have no meaning in a name, a number or a note; let in, they come back as a failure of the server. A tab and
the ends of lines are text.
"""

import re
from collections.abc import Iterable, Mapping

from shared.errors import Unreadable
from shared.words import N_

_FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]")
_FORBIDDEN_IN_PATH = re.compile("[\x00-\x1f\x7f\ud800-\udfff]")


class ForbiddenCharacter(Unreadable):
    code = "forbidden-character"
    title = N_("A character that no text may hold")
    sentence = N_("{where} holds the character {character}, which no text here may hold.")
    advice = N_("Leave out NUL, other control characters and halves of surrogate pairs.")


def refuse_controls(text: str, *, where: str, pointer: str = "") -> None:
    """Raise ``ForbiddenCharacter`` when ``text`` holds one; tabs and ends of lines are allowed."""
    _refuse(_FORBIDDEN, text, where=where, pointer=pointer)


def refuse_controls_in_path(path: str) -> None:
    """Raise ``ForbiddenCharacter`` for any control character in the path of an address."""
    _refuse(_FORBIDDEN_IN_PATH, path, where="The address", pointer="")


def refuse_controls_in_fields(fields: Mapping[str, Iterable[str]], *, where: str) -> None:
    """The same for the names and values of a query or a form."""
    for name, values in fields.items():
        refuse_controls(name, where=f"The name of a field of {where}")
        for value in values:
            refuse_controls(value, where=f"The field {name} of {where}")


def _refuse(forbidden: re.Pattern[str], text: str, *, where: str, pointer: str) -> None:
    found = forbidden.search(text)
    if found:
        raise ForbiddenCharacter(where=where, character=f"U+{ord(found[0]):04X}", pointer=pointer)
