"""Every resource of the package, in the order in which the package lists them."""

from typing import Any

from catalog.package.resource import Resource
from catalog.package.resources import articles, electrical, mechanical, winches

RESOURCES: tuple[Resource[Any], ...] = (
    winches.MAKERS,
    winches.FAMILIES,
    winches.MODELS,
    winches.MODEL_GEARS,
    winches.BASE_PATTERNS,
    winches.SPINDLES,
    winches.FLANGES,
    winches.COUPLINGS,
    winches.RUNS,
    articles.PARTS,
    articles.PRICES,
    mechanical.ADAPTERS,
    mechanical.ADAPTER_BASES,
    mechanical.SHAFTS,
    mechanical.SHAFT_WINDOWS,
    mechanical.DRIVES,
    mechanical.DRIVE_SOLIDS,
    mechanical.DRIVE_PIECES,
    mechanical.DRIVE_CLOCKINGS,
    mechanical.DRIVE_ROTATIONS,
    mechanical.HANDING_KITS,
    mechanical.HANDING_KIT_DRIVES,
    mechanical.SPACERS,
    mechanical.WEDGES,
    electrical.CONTROLLERS,
    electrical.CONTROLLER_MOTOR_VOLTS,
    electrical.CONTROLLER_CONTROL_VOLTS,
    electrical.BREAKERS,
    electrical.BREAKER_TRIPS,
    electrical.SWITCHES,
    electrical.POWERED_WINCHES,
    articles.SUPERSESSIONS,
    articles.EXCEPTIONS,
)

BY_NAME: dict[str, Resource[Any]] = {resource.name: resource for resource in RESOURCES}

CODED = ("makers", "families", "models", "base_patterns", "spindles", "flanges", "couplings", "runs", "parts")
"""Resources whose keys, once published, never disappear. A ruling (``exceptions``) may be lifted."""
