"""The catalog: one factory for each model, of rows that the constraints let pass. All invented.

A part of a kind comes with its figures: ``AdapterFactory.create()`` makes the part as well. For a whole
catalog publish a package instead (``tests/catalog/packages.py``).
"""

import hashlib
from datetime import date
from typing import Any

import factory
from factory.django import DjangoModelFactory

from catalog import models
from catalog.resolver.parts import PartKind
from shared.models import Organization
from shared.tenancy import tenant
from tests.factories.people import MembershipFactory, OrganizationFactory, PersonFactory


class MakerFactory(DjangoModelFactory[models.Maker]):
    class Meta:
        model = models.Maker

    code = factory.Sequence(lambda number: f"maker-{number}")
    name = factory.Sequence(lambda number: f"Maker {number}")


class WinchFamilyFactory(DjangoModelFactory[models.WinchFamily]):
    class Meta:
        model = models.WinchFamily

    code = factory.Sequence(lambda number: f"family-{number}")
    maker = factory.SubFactory(MakerFactory)
    name = factory.Sequence(lambda number: f"Family {number}")
    convertible = True


class WinchModelFactory(DjangoModelFactory[models.WinchModel]):
    class Meta:
        model = models.WinchModel

    code = factory.Sequence(lambda number: f"model-{number}")
    family = factory.SubFactory(WinchFamilyFactory)
    name = factory.Sequence(lambda number: f"Model {number}")
    size = 40
    drum_diameter_mm = 80
    base_diameter_mm = 150
    height_mm = 160
    working_load_n = 9_000
    spindle_torque_max_nm = 60
    self_tailing = True
    rope_min_mm = 8
    rope_max_mm = 12
    pad_diameter_mm = 180


class GearFactory(DjangoModelFactory[models.Gear]):
    class Meta:
        model = models.Gear

    model = factory.SubFactory(WinchModelFactory)
    gear = 1
    ratio = 2


class BasePatternFactory(DjangoModelFactory[models.BasePattern]):
    class Meta:
        model = models.BasePattern

    code = factory.Sequence(lambda number: f"base-{number}")
    name = factory.Sequence(lambda number: f"Base {number}")
    bolt_circle_mm = 120
    bolts = 6
    bolt_size = "M8"
    centre_hole_mm = 60


class SpindleFactory(DjangoModelFactory[models.Spindle]):
    class Meta:
        model = models.Spindle

    code = factory.Sequence(lambda number: f"spindle-{number}")
    name = factory.Sequence(lambda number: f"Spindle {number}")


class FlangeFactory(DjangoModelFactory[models.Flange]):
    class Meta:
        model = models.Flange

    code = factory.Sequence(lambda number: f"flange-{number}")
    name = factory.Sequence(lambda number: f"Flange {number}")
    max_spacers = 3
    max_stack_mm = 20


class CouplingFactory(DjangoModelFactory[models.Coupling]):
    class Meta:
        model = models.Coupling

    code = factory.Sequence(lambda number: f"coupling-{number}")
    name = factory.Sequence(lambda number: f"Coupling {number}")


class ProductionRunFactory(DjangoModelFactory[models.ProductionRun]):
    class Meta:
        model = models.ProductionRun

    code = factory.Sequence(lambda number: f"run-{number}")
    model = factory.SubFactory(WinchModelFactory)
    year_from = 1990
    serial_rule = "none"
    base_pattern = factory.SubFactory(BasePatternFactory)
    spindle = factory.SubFactory(SpindleFactory)
    plug = "none"


class PartFactory(DjangoModelFactory[models.Part]):
    class Meta:
        model = models.Part

    sku = factory.Sequence(lambda number: f"SKU-{number}")
    kind = PartKind.SWITCH.value
    maker = factory.SubFactory(MakerFactory)
    name = factory.Sequence(lambda number: f"Part {number}")
    status = "current"


class PriceFactory(DjangoModelFactory[models.Price]):
    class Meta:
        model = models.Price

    part = factory.SubFactory(PartFactory)
    currency = "EUR"
    valid_from = date(2025, 1, 1)
    amount_minor = 10_000


class AdapterFactory(DjangoModelFactory[models.Adapter]):
    class Meta:
        model = models.Adapter

    part = factory.SubFactory(PartFactory, kind=PartKind.ADAPTER.value)
    flange = factory.SubFactory(FlangeFactory)
    thickness_mm = 12
    footprint_mm = 170


class AdapterBaseFactory(DjangoModelFactory[models.AdapterBase]):
    class Meta:
        model = models.AdapterBase

    adapter = factory.SubFactory(AdapterFactory)
    base_pattern = factory.SubFactory(BasePatternFactory)


class ShaftFactory(DjangoModelFactory[models.Shaft]):
    class Meta:
        model = models.Shaft

    part = factory.SubFactory(PartFactory, kind=PartKind.SHAFT.value)
    mounting = "from-above"
    cut = False
    standing_height_mm = 0


class ShaftWindowFactory(DjangoModelFactory[models.ShaftWindow]):
    class Meta:
        model = models.ShaftWindow

    shaft = factory.SubFactory(ShaftFactory)
    spindle = factory.SubFactory(SpindleFactory)
    coupling = factory.SubFactory(CouplingFactory)
    from_mm = 30
    to_mm = 40


class DriveFactory(DjangoModelFactory[models.Drive]):
    class Meta:
        model = models.Drive

    part = factory.SubFactory(PartFactory, kind=PartKind.DRIVE.value)
    drive_type = "right-angle"
    power = "electric"
    hand = "right"
    supplied_hand = "right"
    flange = factory.SubFactory(FlangeFactory)
    coupling = factory.SubFactory(CouplingFactory)
    motor_volts = 12
    motor_leads = 3
    torque_nm = 40
    no_load_current_a = 8
    peak_current_a = 150
    efficiency_percent = 60
    reversible = True
    override = True
    max_press_seconds = 30
    duty_class = "S3 10 %"
    clearance_mm = 10
    largest_breaker_a = 120


class DriveSolidFactory(DjangoModelFactory[models.DriveSolid]):
    class Meta:
        model = models.DriveSolid

    drive = factory.SubFactory(DriveFactory)
    solid = "gearbox"
    shape = "cylinder"
    x_mm = 0
    y_mm = 0
    diameter_mm = 140
    depth_from_mm = 0
    depth_to_mm = 90


class DrivePieceFactory(DjangoModelFactory[models.DrivePiece]):
    class Meta:
        model = models.DrivePiece

    drive = factory.SubFactory(DriveFactory)
    piece = "gearbox"
    length_mm = 140
    width_mm = 140
    height_mm = 90
    carries_shaft = True


class DriveClockingFactory(DjangoModelFactory[models.DriveClocking]):
    class Meta:
        model = models.DriveClocking

    drive = factory.SubFactory(DriveFactory)
    from_deg = 0
    to_deg = 360


class DriveRotationFactory(DjangoModelFactory[models.DriveRotation]):
    class Meta:
        model = models.DriveRotation

    drive = factory.SubFactory(DriveFactory)
    rotation_deg = 0


class HandingKitFactory(DjangoModelFactory[models.HandingKit]):
    class Meta:
        model = models.HandingKit

    part = factory.SubFactory(PartFactory, kind=PartKind.HANDING_KIT.value)
    reverses_rotation = True


class HandingKitDriveFactory(DjangoModelFactory[models.HandingKitDrive]):
    class Meta:
        model = models.HandingKitDrive

    handing_kit = factory.SubFactory(HandingKitFactory)
    drive = factory.SubFactory(DriveFactory, hand="convertible")


class SpacerFactory(DjangoModelFactory[models.Spacer]):
    class Meta:
        model = models.Spacer

    part = factory.SubFactory(PartFactory, kind=PartKind.SPACER.value)
    flange = factory.SubFactory(FlangeFactory)
    thickness_mm = 2
    max_count = 3


class WedgeFactory(DjangoModelFactory[models.Wedge]):
    class Meta:
        model = models.Wedge

    part = factory.SubFactory(PartFactory, kind=PartKind.WEDGE.value)
    flange = factory.SubFactory(FlangeFactory)
    angle_deg = 2
    axis_thickness_mm = 6


class ControllerFactory(DjangoModelFactory[models.Controller]):
    class Meta:
        model = models.Controller

    part = factory.SubFactory(PartFactory, kind=PartKind.CONTROLLER.value)
    motor_leads = 3
    max_current_a = 200
    inputs = 2
    plain_switches = True


class ControllerMotorVoltsFactory(DjangoModelFactory[models.ControllerMotorVolts]):
    class Meta:
        model = models.ControllerMotorVolts

    controller = factory.SubFactory(ControllerFactory)
    volts = 12


class ControllerControlVoltsFactory(DjangoModelFactory[models.ControllerControlVolts]):
    class Meta:
        model = models.ControllerControlVolts

    controller = factory.SubFactory(ControllerFactory)
    volts = 12


class BreakerFactory(DjangoModelFactory[models.Breaker]):
    class Meta:
        model = models.Breaker

    part = factory.SubFactory(PartFactory, kind=PartKind.BREAKER.value)
    rating_a = 100
    max_volts = 32
    interrupting_capacity_a = 3_000


class BreakerTripFactory(DjangoModelFactory[models.BreakerTrip]):
    class Meta:
        model = models.BreakerTrip

    breaker = factory.SubFactory(BreakerFactory)
    percent = 200
    earliest_s = 10
    latest_s = 60


class SwitchFactory(DjangoModelFactory[models.Switch]):
    class Meta:
        model = models.Switch

    part = factory.SubFactory(PartFactory)
    buttons = 2
    max_volts = 32


class PoweredWinchFactory(DjangoModelFactory[models.PoweredWinch]):
    class Meta:
        model = models.PoweredWinch

    part = factory.SubFactory(PartFactory, kind=PartKind.WINCH.value)
    size = 40
    last_gear_ratio = 6
    drum_diameter_mm = 80
    base_diameter_mm = 160
    working_load_n = 9_000
    self_tailing = False
    motor_volts = 12


class SupersessionFactory(DjangoModelFactory[models.Supersession]):
    class Meta:
        model = models.Supersession

    old = factory.SubFactory(PartFactory)
    new = factory.SubFactory(PartFactory)
    direction = "one-way"


class CatalogExceptionFactory(DjangoModelFactory[models.CatalogException]):
    class Meta:
        model = models.CatalogException

    code = factory.Sequence(lambda number: f"exception-{number}")
    kind = "forbid"
    part = factory.SubFactory(PartFactory)
    family = factory.SubFactory(WinchFamilyFactory)
    reason = "Tried, and found not to hold."


class KeeperFactory[M: (models.StoredFile, models.Revision)](DjangoModelFactory[M]):
    """Rows that only a keeper adds: made by one, who is made too unless given as ``published_by``."""

    class Meta:
        abstract = True

    @classmethod
    def _create(cls, model_class: type[M], *args: Any, **kwargs: Any) -> M:
        organization = OrganizationFactory.create(kind=Organization.Kind.KEEPER)
        person = kwargs.get("published_by") or PersonFactory.create()
        MembershipFactory.create(organization=organization, person=person)
        with tenant(organization=organization.pk, person=person.pk):
            row: M = super()._create(model_class, *args, **kwargs)  # type: ignore[no-untyped-call]
        return row


class StoredFileFactory(KeeperFactory[models.StoredFile]):
    class Meta:
        model = models.StoredFile

    content = factory.Sequence(lambda number: f"file {number}".encode())
    sha256 = factory.LazyAttribute(lambda row: hashlib.sha256(row.content).hexdigest())


class RevisionFactory(KeeperFactory[models.Revision]):
    """A bare revision, whose file is no package; publish one where it is to be asked."""

    class Meta:
        model = models.Revision

    number = factory.Sequence(lambda number: number + 1)
    description = factory.SubFactory(StoredFileFactory)
    published_by = factory.SubFactory(PersonFactory)
    counts = factory.LazyFunction(dict)
