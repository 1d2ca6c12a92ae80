"""The kits of an answer as its page shows them, side by side.

Every kit has the same rows, so that they can be compared column by column; a row that a kit lacks is empty
there. What holds for a part in whatever kit is told once, in the list of parts.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from catalog.asking import Asked
from catalog.pages.cases import bearings_text, case_lines
from catalog.pages.figures import TIED, shown_length
from catalog.pages.labels import HANDS, KINDS, MARGINS, STANDINGS, STATUSES, label
from catalog.pages.telling import Gate, Json, Teller, days, money
from catalog.resolver.answer import KitFound
from shared.units import Rounding, Unit

FEW_CLOCKINGS = 8
MOST_COLUMNS = 5


@dataclass(frozen=True, slots=True)
class Item:
    """One part of a kit."""

    sku: str
    name: str
    quantity: int


@dataclass(frozen=True, slots=True)
class ListedPart:
    """One part of the kits listed, told once for all of them."""

    sku: str
    kind: str
    name: str
    maker: str
    price: str
    lead_time: str
    status: str
    whys: Sequence[str]
    kits: Sequence[int]


@dataclass(frozen=True, slots=True)
class Row:
    """The parts of one kind in one kit."""

    label: str
    items: Sequence[Item]


@dataclass(frozen=True, slots=True)
class Figure:
    label: str
    text: str


@dataclass(frozen=True, slots=True)
class ShownKit:
    number: int
    sure: bool
    standing: str
    in_cover: bool
    price: str
    amount: str
    lead_time: str
    days: int | None
    cases: Sequence[str]
    deck: str
    depth: str
    hand: str
    clockings: Sequence[str]
    more_clockings: Sequence[str]
    clocking_sure: bool
    rotations: str
    cut: str
    notes: Sequence[str]
    margins: Sequence[Figure]
    tightest: str
    gist: str
    rows: Sequence[Row]
    gates: Sequence[Gate]


@dataclass(frozen=True, slots=True)
class ShownCore:
    parts: Sequence[Figure]
    standing: str
    price: str


class Kits:
    """The kits and cores of one answer. ``makers`` names the makers by their codes."""

    def __init__(self, asked: Asked, form: Json, unit: Unit, makers: Mapping[str, str]) -> None:
        self.answer, self.catalog = asked.answer, asked.compiled.catalog
        self.json, self.unit, self.makers = form, unit, makers
        self.tell = Teller(unit)
        kinds = {line["kind"] for kit in form["kits"] for line in kit["parts"]}
        self.kinds = [kind for kind in KINDS if kind in kinds]

    def kits(self) -> list[ShownKit]:
        pairs = zip(self.answer.kits, self.json["kits"], strict=True)
        return [self._kit(found, kit) for found, kit in pairs]

    def _kit(self, found: KitFound, kit: Json) -> ShownKit:
        settings = kit["settings"]
        clockings = self._clockings(found)
        margins = self._margins(kit["checks"])
        sure = kit["standing"] == "sure"
        return ShownKit(
            number=kit["number"],
            sure=sure,
            standing=label(STANDINGS, kit["standing"]),
            in_cover=kit["in_cover"],
            price=money(kit["price"]),
            amount=kit["price"]["amount"] if kit["price"] else "",
            lead_time=days(kit["lead_time_days"]),
            days=kit["lead_time_days"],
            cases=[] if sure else case_lines(found.circumstances, self.catalog),
            deck=self.tell.band(found.deck.low, found.deck.high),
            depth=shown_length(found.depth_um, self.unit, Rounding.UP),
            hand=label(HANDS, kit["hand"]),
            clockings=clockings[:FEW_CLOCKINGS],
            more_clockings=clockings[FEW_CLOCKINGS:],
            clocking_sure=any(one.sure for one in found.settings),
            rotations=", ".join(f"{one:g}°" for one in settings["motor_rotation"]),
            cut=self._cut(found),
            notes=[note["sentence"] for note in kit["notes"]],
            margins=margins,
            tightest=self._tightest(found),
            gist=self._gist(found),
            rows=[self._row(kind, kit["parts"]) for kind in self.kinds],
            gates=self.tell.by_gate(kit["checks"]),
        )

    def _clockings(self, found: KitFound) -> list[str]:
        """The sure ones where there are any; else all that pass in some case."""
        sure = [one for one in found.settings if one.sure]
        return [bearings_text(one.from_ddeg, one.to_ddeg) for one in sure or found.settings]

    def _cut(self, found: KitFound) -> str:
        if found.cut_length is None:
            return ""
        return self.tell.band(found.cut_length.low, found.cut_length.high)

    def _margins(self, checks: Sequence[Json]) -> list[Figure]:
        """The margins that are lengths; the others stand with every check."""
        margins = {
            f"{check['gate']}.{check['code']}": self.tell.margin(check)
            for check in checks
            if check["margin"] and check["margin"]["unit"] == "mm"
        }
        return [Figure(str(name), margins[code]) for code, name in MARGINS.items() if code in margins]

    def _tightest(self, found: KitFound) -> str:
        """The smallest margin of reach and space, by which kits are ranked."""
        lengths = [one.margin for one in found.checks if one.unit == "um" and one.gate in ("reach", "space")]
        shown = shown_length(min(lengths), self.unit, Rounding.DOWN) if lengths else ""
        return shown.removesuffix(f"{TIED}{self.unit}")

    def _gist(self, found: KitFound) -> str:
        """What tells a kit from its neighbours in a line: the drive, and how thick its stack is."""
        thickness = found.kit.stack.thickness_um
        stack = f" + {shown_length(thickness, self.unit)}" if thickness else ""
        return f"{found.kit.core.drive}{stack}"

    def _row(self, kind: str, parts: Sequence[Json]) -> Row:
        return Row(label(KINDS, kind), [self._item(part) for part in parts if part["kind"] == kind])

    def _item(self, part: Json) -> Item:
        return Item(part["sku"], part["name"], part["quantity"])

    def parts(self) -> list[ListedPart]:
        """Every part of the kits listed, in the order in which a kit is fitted."""
        lines = [(kit["number"], part) for kit in self.json["kits"] for part in kit["parts"]]
        found: dict[str, list[tuple[int, Json]]] = {}
        for line in sorted(lines, key=lambda line: (self.kinds.index(line[1]["kind"]), line[1]["sku"])):
            found.setdefault(line[1]["sku"], []).append(line)
        return [self._listed(uses) for uses in found.values()]

    def _listed(self, uses: Sequence[tuple[int, Json]]) -> ListedPart:
        part = uses[0][1]
        return ListedPart(
            sku=part["sku"],
            kind=label(KINDS, part["kind"]),
            name=part["name"],
            maker=self.makers.get(part["maker"], part["maker"]),
            price=money(part["price"]),
            lead_time=days(part["lead_time_days"]),
            status="" if part["status"] == "current" else label(STATUSES, part["status"]),
            whys=list(dict.fromkeys(use["why"] for _number, use in uses)),
            kits=[number for number, _part in uses],
        )

    def cores(self) -> list[ShownCore]:
        """Cores that say more than the kits do: those of a kit that is sure by itself are left out."""
        sure = {found.kit.core for found in self.answer.kits if found.standing == "sure"}
        pairs = zip(self.answer.cores, self.json["cores"], strict=True)
        return [self._core(core) for found, core in pairs if found.core not in sure]

    def _core(self, core: Json) -> ShownCore:
        parts = [
            Figure(label(KINDS, kind), core[key])
            for kind, key in (
                ("adapter", "adapter"),
                ("shaft", "shaft"),
                ("drive", "drive"),
                ("handing-kit", "handing_kit"),
            )
            if core[key]
        ]
        return ShownCore(parts, label(STANDINGS, core["standing"]), money(core["price"]))


def columns_for(kits: int) -> int:
    """How many stand side by side at a desk: the widest rows of which the last is nearly full."""
    if kits <= MOST_COLUMNS:
        return kits
    return max(range(3, MOST_COLUMNS + 1), key=lambda columns: (-(-kits % columns), columns))
