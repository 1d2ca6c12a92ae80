"""Parts: a forgiving search, and a plain page for one part with its figures, prices and successors."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Field, ForeignKey, Manager, Model
from django.http import Http404, HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from catalog.models import Part
from catalog.pages.figures import shown_length
from catalog.pages.labels import HANDS, KINDS, STATUSES, WISHES, label
from catalog.pages.render import page, today, unit_of
from catalog.pages.rows import part_of
from catalog.search import EXACT, parts_like, tidy
from shared.money import Money
from shared.units import UM_PER_MM, Unit

MOST_FOUND = 50
TABLES = (
    "adapter",
    "shaft",
    "drive",
    "handing_kit",
    "spacer",
    "wedge",
    "controller",
    "breaker",
    "switch",
    "powered_winch",
)
"""The tables of the kinds, as a part knows them."""
LISTS = ("windows", "solids", "pieces", "trips")
"""What a table of a kind may have several of, with several figures each."""
IN_ONE_LINE = ("bases", "clockings", "rotations", "drives", "motor_volts", "control_volts")
"""Likewise, with one figure or two ends."""
UNITS = {
    "_nm": "N·m",
    "_n": "N",
    "_a": "A",
    "_deg": "°",
    "_percent": "%",
    "_seconds": "s",
    "_s": "s",
    "_volts": "V",
    "_g": "g",
}
KNOWN_BY_ITS_PLACE = {"part", "adapter", "shaft", "drive", "controller", "breaker", "handing_kit"}


@require_safe
def parts(request: HttpRequest) -> HttpResponse:
    wanted = tidy(request.GET.get("q", ""))
    found = [(one, int(getattr(one, "rank", 0)) == EXACT) for one in parts_like(wanted)[:MOST_FOUND]]
    shown = [
        {
            "part": one,
            "kind": label(KINDS, one.kind),
            "status": "" if one.status == "current" else label(STATUSES, one.status),
            "exact": exact,
        }
        for one, exact in found
    ]
    context = {"wanted": wanted, "found": shown, "most": len(found) == MOST_FOUND}
    return page(request, "catalog/parts.html", context)


@require_safe
def part(request: HttpRequest, sku: str) -> HttpResponse:
    found = part_of(sku)
    if found is None:
        raise Http404
    unit = unit_of(request)
    of_kind = next((row for name in TABLES if (row := getattr(found, name, None)) is not None), None)
    context = {
        "part": found,
        "kind": label(KINDS, found.kind),
        "status": label(STATUSES, found.status),
        "figures": list(_figures(of_kind, unit)) if of_kind else [],
        "lists": list(_lists(of_kind, unit)) if of_kind else [],
        "prices": _prices(found, today()),
        "superseded_by": list(found.superseded_by.all()),
        "supersedes": list(found.supersedes.all()),
    }
    return page(request, "catalog/part.html", context)


@dataclass(frozen=True, slots=True)
class ShownPrice:
    text: str
    valid_from: date
    now: bool


def _prices(found: Part, day: date) -> list[ShownPrice]:
    """Every price, by currency, the newest first; ``now`` marks those that hold today."""
    rows = sorted(found.prices.all(), key=lambda row: (row.currency, -row.valid_from.toordinal()))
    holding: set[str] = set()
    shown = []
    for row in rows:
        now = row.valid_from <= day and row.currency not in holding
        holding |= {row.currency} if now else set()
        shown.append(ShownPrice(str(Money(row.amount_minor, row.currency)), row.valid_from, now))
    return shown


# --- figures of any kind ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Entry:
    label: str
    text: str


@dataclass(frozen=True, slots=True)
class Several:
    """Rows of which a part has several, as a small table."""

    label: str
    columns: Sequence[str]
    rows: Sequence[Sequence[str]]


def _figures(row: Model, unit: Unit) -> Iterator[Entry]:
    for field in _told(row):
        text = _text(field, row, unit)
        if text:
            yield Entry(_named(field.name), text)
    for name in IN_ONE_LINE:
        texts = [_ends(one, unit) for one in _several(row, name)]
        if texts:
            yield Entry(_named(name), ", ".join(texts))


def _ends(row: Model, unit: Unit) -> str:
    """The one figure of a row, or from ... to."""
    texts = dict.fromkeys(_text(field, row, unit) for field in _told(row))
    return _(" to ").join(texts)


def _several(row: Model, name: str) -> list[Model]:
    related = getattr(row, name, None)
    # A controller has several motor voltages, a drive has one: a figure like any other.
    return list(related.all()) if isinstance(related, Manager) else []


def _lists(row: Model, unit: Unit) -> Iterator[Several]:
    for name in LISTS:
        found = _several(row, name)
        if found:
            fields = [field for field in _told(found[0]) if any(_text(field, one, unit) for one in found)]
            cells = [[_text(field, one, unit) for field in fields] for one in found]
            yield Several(_named(name), [_named(field.name) for field in fields], cells)


def _told(row: Model) -> list["Field[object, object]"]:
    own = KNOWN_BY_ITS_PLACE - ({"drive"} if row._meta.model_name == "handingkitdrive" else set())
    return [field for field in row._meta.concrete_fields if field.name not in own and field.name != "pk"]


def _named(name: str) -> str:
    """A column's name as words, without its unit."""
    for ending in ("_mm", *UNITS):
        if name.endswith(ending) and ending != "_volts":
            name = name.removesuffix(ending)
            break
    return name.replace("_", " ").strip().capitalize()


def _text(field: "Field[object, object]", row: Model, unit: Unit) -> str:
    value = getattr(row, field.attname if isinstance(field, ForeignKey) else field.name)
    if value is None or value == "":
        return ""
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if field.name.endswith("_mm"):
        return shown_length(round(value * UM_PER_MM), unit)
    figure = (
        f"{value.normalize():f}" if isinstance(value, Decimal) else label({**HANDS, **WISHES}, str(value))
    )
    ending = next((sign for end, sign in UNITS.items() if field.name.endswith(end)), "")
    if field.name == "volts":
        ending = "V"
    return f"{figure}{'' if ending in ('', '°') else ' '}{ending}"
