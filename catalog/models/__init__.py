from catalog.models.adapter import Adapter, AdapterBase
from catalog.models.breaker import Breaker, BreakerTrip
from catalog.models.catalog_exception import CatalogException
from catalog.models.controller import Controller, ControllerControlVolts, ControllerMotorVolts
from catalog.models.drive import Drive, DriveClocking, DrivePiece, DriveRotation, DriveSolid
from catalog.models.family import WinchFamily
from catalog.models.handing_kit import HandingKit, HandingKitDrive
from catalog.models.interface import BasePattern, Coupling, Flange, Spindle
from catalog.models.maker import Maker
from catalog.models.part import Part, Price
from catalog.models.powered_winch import PoweredWinch
from catalog.models.production_run import ProductionRun
from catalog.models.revision import Revision, StoredFile
from catalog.models.shaft import Shaft, ShaftWindow
from catalog.models.stack import Spacer, Wedge
from catalog.models.supersession import Supersession
from catalog.models.switch import Switch
from catalog.models.winch_model import Gear, WinchModel

__all__ = [
    "Adapter",
    "AdapterBase",
    "BasePattern",
    "Breaker",
    "BreakerTrip",
    "CatalogException",
    "Controller",
    "ControllerControlVolts",
    "ControllerMotorVolts",
    "Coupling",
    "Drive",
    "DriveClocking",
    "DrivePiece",
    "DriveRotation",
    "DriveSolid",
    "Flange",
    "Gear",
    "HandingKit",
    "HandingKitDrive",
    "Maker",
    "Part",
    "PoweredWinch",
    "Price",
    "ProductionRun",
    "Revision",
    "Shaft",
    "ShaftWindow",
    "Spacer",
    "Spindle",
    "StoredFile",
    "Supersession",
    "Switch",
    "Wedge",
    "WinchFamily",
    "WinchModel",
]
