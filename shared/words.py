"""Marks text for translation without translating it. Pure: no Django import.

A sentence is written once, in English, where its facts are known, and marked with ``N_``. ``makemessages``
collects every marked text; a page translates it when it is shown. Codes are never translated.
"""


def N_(text: str) -> str:  # noqa: N802 - the name that message collectors are told to look for
    """Mark ``text`` for translation and return it as it is."""
    return text
