"""Which table holds which resource of the package."""

from collections.abc import Mapping

from catalog import models as tables
from shared.tenancy import SharedModel

TABLES: Mapping[str, type[SharedModel]] = {
    "makers": tables.Maker,
    "families": tables.WinchFamily,
    "models": tables.WinchModel,
    "model_gears": tables.Gear,
    "base_patterns": tables.BasePattern,
    "spindles": tables.Spindle,
    "flanges": tables.Flange,
    "couplings": tables.Coupling,
    "runs": tables.ProductionRun,
    "parts": tables.Part,
    "prices": tables.Price,
    "adapters": tables.Adapter,
    "adapter_bases": tables.AdapterBase,
    "shafts": tables.Shaft,
    "shaft_windows": tables.ShaftWindow,
    "drives": tables.Drive,
    "drive_solids": tables.DriveSolid,
    "drive_pieces": tables.DrivePiece,
    "drive_clockings": tables.DriveClocking,
    "drive_rotations": tables.DriveRotation,
    "handing_kits": tables.HandingKit,
    "handing_kit_drives": tables.HandingKitDrive,
    "spacers": tables.Spacer,
    "wedges": tables.Wedge,
    "controllers": tables.Controller,
    "controller_motor_volts": tables.ControllerMotorVolts,
    "controller_control_volts": tables.ControllerControlVolts,
    "breakers": tables.Breaker,
    "breaker_trips": tables.BreakerTrip,
    "switches": tables.Switch,
    "powered_winches": tables.PoweredWinch,
    "supersessions": tables.Supersession,
    "exceptions": tables.CatalogException,
}
"""The model of each resource. Its database columns have the names of the resource's, save an amount."""
