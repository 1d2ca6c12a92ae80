"""Figures of the tables in templates."""

from decimal import Decimal

from django import template

from catalog.pages.figures import shown_length
from catalog.pages.labels import PLUGS, label
from shared.units import UM_PER_MM, Unit

register = template.Library()


@register.filter
def length_in(length_mm: Decimal, unit: Unit) -> str:
    """A length of the tables, which is in mm, with the unit that the reader chose."""
    return shown_length(round(length_mm * UM_PER_MM), unit)


@register.filter
def plug(code: str) -> str:
    """The closing plug of a production run: ``plug threaded``, ``no plug``."""
    return label(PLUGS, code) if code == "none" else f"plug {label(PLUGS, code)}"
