"""Made-up packages for tests: right ones of any size from a seed, and the same in another dress.

Rows are kept as text, as a file has them, so that a test spoils a cell by setting it.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path

from stdnum import ean

from catalog.package import RESOURCES, Package, read_folder

Row = dict[str, str]
PARTS_ON_A_FLANGE = 60
WORDS = (
    "Kelp",
    "Osier",
    "Tarn",
    "Bracken",
    "Fjord ø",
    'half "inch"',
    "one, two",
    "Ärmel",
    "+plus",
    "-minus",
    "=sum",
)


@dataclass
class Draft:
    """The rows of a package by resource, as text; cells that are left out are empty."""

    rows: dict[str, list[Row]] = field(default_factory=lambda: {resource.name: [] for resource in RESOURCES})

    def add(self, resource: str, **cells: object) -> Row:
        row = {name: _text(value) for name, value in cells.items() if value is not None}
        self.rows[resource].append(row)
        return row

    def find(self, resource: str, **cells: object) -> Row:
        """The first row with these cells."""
        wanted = {name: _text(value) for name, value in cells.items()}
        return next(row for row in self.rows[resource] if wanted.items() <= row.items())

    def write(self, folder: Path, *, luck: random.Random | None = None) -> Path:
        """Write with bare descriptions; with ``luck``, in an order and dress that is not canonical."""
        folder.mkdir(parents=True, exist_ok=True)
        for resource in RESOURCES:
            rows = list(self.rows[resource.name])
            names = list(resource.names)
            if luck:
                luck.shuffle(rows)
                luck.shuffle(names)
            lines = [names] + [[row.get(name, "") for name in names] for row in rows]
            end = "\n" if not luck else luck.choice(["\n", "\r\n"])
            quote = _quoted if not luck or luck.random() < 0.5 else _always_quoted
            text = end.join(",".join(map(quote, line)) for line in lines) + end
            if luck and luck.random() < 0.5:
                text = "\N{ZERO WIDTH NO-BREAK SPACE}" + text
            (folder / resource.path).write_bytes(text.encode())
        (folder / "datapackage.json").write_text(bare_description())
        return folder

    def package(self, folder: Path) -> Package:
        return read_folder(self.write(folder)).require()


def bare_description() -> str:
    listed = ", ".join(f'{{"name": "{one.name}", "path": "{one.path}"}}' for one in RESOURCES)
    return f'{{"resources": [{listed}]}}'


def _text(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)


def _quoted(cell: str) -> str:
    return _always_quoted(cell) if any(letter in cell for letter in ',"') else cell


def _always_quoted(cell: str) -> str:
    return '"' + cell.replace('"', '""') + '"'


def small() -> Draft:
    """One of everything, by hand: two models, two runs, a kit that fits, a replacement, a ruling."""
    draft = Draft()
    draft.add("makers", code="tarn", name="Tarn Works")
    draft.add("families", code="osier", maker="tarn", name="Osier", convertible=True, first_year=1990)
    draft.add(
        "families",
        code="rush",
        maker="tarn",
        name="Rush",
        convertible=False,
        replace_only_reason="The spindle ends above the base.",
    )
    winch = {
        "drum_diameter_mm": "80",
        "base_diameter_mm": "150",
        "height_mm": "160",
        "working_load_n": 9000,
        "spindle_torque_max_nm": "60",
        "pad_diameter_mm": "180",
    }
    tailing = {"self_tailing": True, "rope_min_mm": "8", "rope_max_mm": "12"}
    draft.add("models", code="osier-40", family="osier", name="Osier 40", size=40, **tailing, **winch)
    draft.add("models", code="rush-16", family="rush", name="Rush 16", size=16, self_tailing=False, **winch)
    for model, ratios in (("osier-40", ("2", "6.4")), ("rush-16", ("3.2",))):
        for gear, ratio in enumerate(ratios, start=1):
            draft.add("model_gears", model=model, gear=gear, ratio=ratio)
    draft.add(
        "base_patterns",
        code="ring-6",
        name="Ring of six",
        bolt_circle_mm="120",
        bolts=6,
        bolt_size="M8",
        centre_hole_mm="60",
    )
    draft.add("spindles", code="square", name="Square end")
    draft.add("flanges", code="wide", name="Wide flange", max_spacers=3, max_stack_mm="20")
    draft.add("couplings", code="dog", name="Dog coupling")
    build = {"base_pattern": "ring-6", "spindle": "square"}
    draft.add(
        "runs",
        code="osier-40-a",
        model="osier-40",
        year_from=1990,
        year_to=1999,
        serial_rule="number",
        serial_from="1000",
        serial_to="4999",
        plug="pressed",
        plug_removable=True,
        plug_note="Press it out.",
        **build,
    )
    draft.add(
        "runs",
        code="osier-40-b",
        model="osier-40",
        year_from=2000,
        serial_rule="prefix-number",
        serial_from="B-1",
        plug="none",
        **build,
    )
    draft.add(
        "runs", code="rush-16-a", model="rush-16", year_from=1985, serial_rule="none", plug="none", **build
    )
    _small_parts(draft)
    return draft


def _small_parts(draft: Draft) -> None:
    for sku, kind in (
        ("AD-1", "adapter"),
        ("SH-1", "shaft"),
        ("SH-CUT", "shaft"),
        ("DR-1", "drive"),
        ("DR-OIL", "drive"),
        ("HK-1", "handing-kit"),
        ("SP-2", "spacer"),
        ("WE-1", "wedge"),
        ("CO-1", "controller"),
        ("BR-1", "breaker"),
        ("SW-1", "switch"),
        ("PW-1", "winch"),
    ):
        draft.add(
            "parts", sku=sku, kind=kind, maker="tarn", name=f"Part {sku}", status="current", lead_time_days=5
        )
        draft.add("prices", sku=sku, currency="EUR", valid_from="2024-01-01", amount="100.00")
    draft.find("parts", sku="AD-1").update(gtin="6291041500213", mass_g="900")
    draft.find("parts", sku="SH-CUT").update(status="withdrawn", withdrawn_on="2025-03-01")
    draft.add("adapters", sku="AD-1", flange="wide", thickness_mm="-3.5", footprint_mm="170")
    draft.add("adapter_bases", sku="AD-1", base_pattern="ring-6")
    draft.add("shafts", sku="SH-1", mounting="from-above", cut=False, standing_height_mm="0")
    draft.add("shaft_windows", sku="SH-1", spindle="square", coupling="dog", from_mm="30", to_mm="40")
    draft.add(
        "shafts",
        sku="SH-CUT",
        mounting="captive",
        cut=True,
        cut_min_mm="60",
        cut_max_mm="140",
        standing_height_mm="120",
    )
    draft.add("shaft_windows", sku="SH-CUT", spindle="square", coupling="dog", from_mm="-2", to_mm="2")
    _small_drives(draft)
    draft.add("handing_kits", sku="HK-1", reverses_rotation=True)
    draft.add("handing_kit_drives", sku="HK-1", drive="DR-1")
    draft.add("spacers", sku="SP-2", flange="wide", thickness_mm="2", max_count=3)
    draft.add("wedges", sku="WE-1", flange="wide", angle_deg="2.5", axis_thickness_mm="6")
    draft.add("controllers", sku="CO-1", motor_leads=3, max_current_a="200", inputs=2, plain_switches=True)
    draft.add("controller_motor_volts", sku="CO-1", volts=12)
    draft.add("controller_control_volts", sku="CO-1", volts=12)
    draft.add("breakers", sku="BR-1", rating_a="100", max_volts=32, interrupting_capacity_a=3000)
    draft.add("breaker_trips", sku="BR-1", percent=150, earliest_s="60", latest_s="600")
    draft.add("breaker_trips", sku="BR-1", percent=400, earliest_s="2.5", latest_s="12")
    draft.add("switches", sku="SW-1", buttons=2, max_volts=32)
    draft.add(
        "powered_winches",
        sku="PW-1",
        size=40,
        last_gear_ratio="6.4",
        drum_diameter_mm="80",
        base_diameter_mm="160",
        working_load_n=9000,
        self_tailing=True,
        rope_min_mm="8",
        rope_max_mm="12",
        motor_volts=12,
    )
    draft.add("supersessions", old="SH-CUT", new="SH-1", direction="one-way", note="One length for all.")
    draft.add("exceptions", code="no-oil", kind="forbid", sku="DR-OIL", family="osier", reason="It leaks.")
    draft.add(
        "exceptions",
        code="late-adapter",
        kind="allow",
        sku="AD-1",
        lifts="mating",
        run="osier-40-a",
        serial_from="1000",
        serial_to="1200",
        reason="Drilled for both.",
    )


def _small_drives(draft: Draft) -> None:
    both = {
        "drive_type": "right-angle",
        "flange": "wide",
        "coupling": "dog",
        "torque_nm": "40",
        "reversible": True,
        "override": True,
        "clearance_mm": "10",
    }
    electric = {
        "power": "electric",
        "motor_volts": 12,
        "motor_leads": 3,
        "no_load_current_a": "8",
        "peak_current_a": "150",
        "efficiency_percent": "62.5",
        "max_press_seconds": "30",
        "duty_class": "S3 10 %",
        "largest_breaker_a": "120",
    }
    draft.add("drives", sku="DR-1", hand="convertible", supplied_hand="right", **electric, **both)
    draft.add("drives", sku="DR-OIL", hand="none", supplied_hand="none", power="hydraulic", **both)
    for sku in ("DR-1", "DR-OIL"):
        draft.add(
            "drive_solids",
            sku=sku,
            solid="gearbox",
            shape="cylinder",
            x_mm="0",
            y_mm="0",
            diameter_mm="140",
            depth_from_mm="0",
            depth_to_mm="90",
        )
        draft.add(
            "drive_solids",
            sku=sku,
            solid="motor",
            shape="box",
            x_from_mm="0",
            x_to_mm="260",
            y_from_mm="20",
            y_to_mm="120",
            depth_from_mm="10",
            depth_to_mm="110.5",
        )
        draft.add(
            "drive_pieces",
            sku=sku,
            piece="gearbox",
            length_mm="140",
            width_mm="140",
            height_mm="90",
            carries_shaft=True,
        )
        draft.add(
            "drive_pieces",
            sku=sku,
            piece="motor",
            length_mm="260",
            width_mm="100",
            height_mm="100",
            carries_shaft=False,
        )
        draft.add("drive_clockings", sku=sku, from_deg="0", to_deg="360")
        draft.add("drive_rotations", sku=sku, rotation_deg="0")


# --- of any size --------------------------------------------------------------------------------------------


def made_up(luck: random.Random, *, parts: int = 12) -> Draft:
    """``small()`` and, beside it, about so many more parts with what belongs to them, drawn by ``luck``."""
    draft = small()
    for number in range(luck.randint(0, 3)):
        _made_up_winch(draft, luck, number)
    kinds = list(_PARTS)
    flange, coupling = "wide", "dog"
    for number in range(parts):
        if number and not number % PARTS_ON_A_FLANGE:
            flange, coupling = _made_up_interfaces(draft, number)
        kind = luck.choice(kinds)
        sku = f"{luck.choice(['', '-', '+', '='])}{kind[:2].upper()}{luck.choice('-./_')}{number:05d}"
        _made_up_part(draft, luck, sku, kind, number)
        _PARTS[kind](draft, luck, sku, flange=flange, coupling=coupling)
    return draft


def _made_up_interfaces(draft: Draft, number: int) -> tuple[str, str]:
    flange, coupling = f"wide-{number}", f"dog-{number}"
    draft.add("flanges", code=flange, name=f"Wide {number}", max_spacers=3, max_stack_mm="20")
    draft.add("couplings", code=coupling, name=f"Dog {number}")
    return flange, coupling


def _made_up_winch(draft: Draft, luck: random.Random, number: int) -> None:
    family, model = f"made-{number}", f"made-{number}-{luck.randint(8, 80)}"
    name = f"{luck.choice(WORDS)} {number}"
    convertible = luck.random() < 0.7
    draft.add(
        "families",
        code=family,
        maker="tarn",
        name=name,
        convertible=convertible,
        replace_only_reason=None if convertible else luck.choice(WORDS),
        last_year=luck.choice([None, 2004]),
    )
    tailing = luck.random() < 0.5
    draft.add(
        "models",
        code=model,
        family=family,
        name=f"{name} {luck.choice(WORDS)}",
        size=luck.randint(8, 80),
        drum_diameter_mm=_mm(luck, 60, 200),
        base_diameter_mm=_mm(luck, 120, 300),
        height_mm=_mm(luck, 100, 300),
        working_load_n=luck.randint(2000, 40000),
        spindle_torque_max_nm=_mm(luck, 20, 200),
        self_tailing=tailing,
        rope_min_mm=_mm(luck, 6, 8) if tailing else None,
        rope_max_mm=_mm(luck, 9, 18) if tailing else None,
        pad_diameter_mm=_mm(luck, 150, 330),
    )
    for gear in range(1, luck.randint(1, 3) + 1):
        draft.add("model_gears", model=model, gear=gear, ratio=f"{gear * 2}.{luck.randint(0, 999):03d}")
    draft.add(
        "runs",
        code=f"{model}-run",
        model=model,
        year_from=luck.randint(1970, 2000),
        year_to=luck.choice([None, 2010]),
        serial_rule="none",
        base_pattern="ring-6",
        spindle="square",
        plug=luck.choice(["none", "threaded", "bonded"]),
        plug_removable=luck.random() < 0.5,
    )


def _made_up_part(draft: Draft, luck: random.Random, sku: str, kind: str, number: int) -> None:
    withdrawn = luck.random() < 0.1
    digits = f"2{number:011d}"
    draft.add(
        "parts",
        sku=sku,
        kind=kind,
        maker="tarn",
        name=f"{luck.choice(WORDS)} {kind} {number}",
        gtin=digits + ean.calc_check_digit(digits) if luck.random() < 0.5 else None,
        status="withdrawn" if withdrawn else luck.choice(["current", "last-time-buy"]),
        withdrawn_on="2025-02-28" if withdrawn else None,
        valid_from=luck.choice([None, "2001-01-01"]),
        lead_time_days=luck.choice([None, 0, luck.randint(1, 90)]),
        mass_g=luck.choice([None, luck.randint(1, 30_000)]),
        note=luck.choice([None, *WORDS]),
    )
    for currency, amount in luck.sample(
        [("EUR", "12.5"), ("JPY", "1500"), ("KWD", "3.125")], luck.randint(0, 3)
    ):
        draft.add("prices", sku=sku, currency=currency, valid_from="2025-01-01", amount=amount)


def _mm(luck: random.Random, low: int, high: int) -> str:
    whole = luck.randint(low, high - 1)
    return luck.choice([str(whole), f"{whole}.5", f"{whole}.250", f"{whole}.{luck.randint(0, 999):03d}"])


def _adapter(draft: Draft, luck: random.Random, sku: str, *, flange: str, coupling: str) -> None:
    thickness = luck.choice(["-", ""]) + _mm(luck, 0, 20)
    draft.add("adapters", sku=sku, flange=flange, thickness_mm=thickness, footprint_mm=_mm(luck, 100, 200))
    draft.add("adapter_bases", sku=sku, base_pattern="ring-6")


def _shaft(draft: Draft, luck: random.Random, sku: str, *, flange: str, coupling: str) -> None:
    draft.add("shafts", sku=sku, mounting="from-below", cut=False, standing_height_mm=_mm(luck, 0, 90))
    low = luck.randint(20, 90)
    draft.add(
        "shaft_windows",
        sku=sku,
        spindle="square",
        coupling=coupling,
        from_mm=low,
        to_mm=_mm(luck, low + 1, 99),
    )


def _spacer(draft: Draft, luck: random.Random, sku: str, *, flange: str, coupling: str) -> None:
    draft.add("spacers", sku=sku, flange=flange, thickness_mm=_mm(luck, 1, 9), max_count=luck.randint(1, 3))


def _breaker(draft: Draft, luck: random.Random, sku: str, *, flange: str, coupling: str) -> None:
    draft.add("breakers", sku=sku, rating_a=luck.randint(40, 200), max_volts=32, interrupting_capacity_a=5000)
    for percent, low, high in ((125, 90, 900), (300, 10, 60), (600, 1, 6)):
        draft.add("breaker_trips", sku=sku, percent=percent, earliest_s=low, latest_s=high)


def _switch(draft: Draft, luck: random.Random, sku: str, *, flange: str, coupling: str) -> None:
    draft.add("switches", sku=sku, buttons=luck.randint(1, 4), max_volts=32)


_PARTS: dict[str, Callable[..., None]] = {
    "adapter": _adapter,
    "shaft": _shaft,
    "spacer": _spacer,
    "breaker": _breaker,
    "switch": _switch,
}


def seeds(count: int, *, first: int = 20_260_601) -> Iterable[int]:
    return range(first, first + count)
