"""The answer, as values: what the search found, before it is put into words or JSON."""

from __future__ import annotations

from dataclasses import dataclass

from catalog.resolver.facts import Survey, World
from catalog.resolver.kits import Check, Core, Kit, Setting
from catalog.resolver.parts import Hand
from catalog.resolver.question import Question
from shared.intervals import Interval

RESOLVER_VERSION = "1.0"
ANSWER_SCHEMA = 1


@dataclass(frozen=True, slots=True)
class RevisionRef:
    """Which published state of the catalog was asked."""

    number: int
    sha256: str


@dataclass(frozen=True, slots=True)
class Circumstance:
    """One combination of set facts: the run with the exceptions that hold, the plug, the voltages (mV)."""

    run: str | None
    exceptions: tuple[str, ...]
    plug_present: bool
    motor_voltage_mv: int
    control_voltage_mv: int


@dataclass(frozen=True, slots=True)
class SettingFound:
    """A stretch of clockings that pass (equal ends: one position), and whether they do in every world."""

    from_ddeg: int
    to_ddeg: int
    sure: bool


@dataclass(frozen=True, slots=True)
class KitFound:
    """A kit of the list.

    ``deck`` is the band of thicknesses it spans, ``depth_um`` the depth below the deck it needs. ``checks``
    are the gates' figures with the first of ``settings``: for a sure kit in its worst world, else in its
    best. ``cut_length`` is what a shaft that is cut may be cut to; ``cut_sure`` says that it holds in every
    world.
    """

    kit: Kit
    standing: str
    in_cover: bool
    price: int | None
    lead_time_days: int | None
    deck: Interval
    depth_um: int
    circumstances: tuple[Circumstance, ...]
    settings: tuple[SettingFound, ...]
    cut_length: Interval | None
    cut_sure: bool
    checks: tuple[Check, ...]


@dataclass(frozen=True, slots=True)
class CoreFound:
    core: Core
    standing: str
    price: int | None


@dataclass(frozen=True, slots=True)
class CoverRow:
    """In this circumstance, for these deck thicknesses and datum bearings, this kit with this clocking
    passes.
    """

    circumstance: Circumstance
    deck: Interval
    datum_from_ddeg: int
    datum_to_ddeg: int
    kit: Kit
    clocking_ddeg: int


@dataclass(frozen=True, slots=True)
class FailureRow:
    """In this circumstance every candidate kit with this drive in this hand fails one of ``fails``.

    ``drive`` is empty where there is no candidate at all; ``fails`` then names the link that is missing.
    """

    circumstance: Circumstance
    drive: str
    hand: Hand
    fails: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Certificate:
    """What proves the verdict, to be verified without searching (``checker.py``).

    yes: ``cover``. no: ``failures`` at the widest corner. depends: ``passing`` (a world, a kit, a setting)
    and ``failing`` (a world) with its ``failures``.
    """

    cover: tuple[CoverRow, ...] = ()
    failures: tuple[FailureRow, ...] = ()
    passing: tuple[World, Kit, Setting] | None = None
    failing: World | None = None


@dataclass(frozen=True, slots=True)
class Alternative:
    """A powered winch in place of the old one; ``checks`` at the tightest pad, ``verdict`` over all pads."""

    sku: str
    verdict: str
    checks: tuple[Check, ...]
    price: int | None
    lead_time_days: int | None


@dataclass(frozen=True, slots=True)
class Answer:
    question: Question
    survey: Survey
    verdict: str
    kits: tuple[KitFound, ...]
    cores: tuple[CoreFound, ...]
    price_from: int | None
    price_to: int | None
    alternatives: tuple[Alternative, ...]
    certificate: Certificate
    reasons: tuple[Check, ...]
    remarks: tuple[str, ...]
    revision: RevisionRef
