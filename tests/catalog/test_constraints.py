"""What the database itself refuses, with the importer out of the way.

Each family of constraints is tried; and every rule of the declaration has its constraint.
"""

from pathlib import Path

import pytest
from django.apps import apps
from django.db import DataError, IntegrityError, connection, transaction
from django.db.migrations.autodetector import MigrationAutodetector
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.state import ProjectState

from catalog.package import RESOURCES
from catalog.tables import TABLES
from tests.catalog.conftest import Keeper
from tests.catalog.packages import small

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def catalog(keeper: Keeper, tmp_path: Path) -> None:
    keeper.publish(small().package(tmp_path))
    with connection.cursor() as cursor:
        cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")


TWIN = (
    "INSERT INTO catalog_productionrun (code, model, year_from, serial_rule, serial_from, base_pattern, "
    "spindle, plug) VALUES ('twin', 'osier-40', 1995, 'number', '4999', 'ring-6', 'square', 'none')"
)

REFUSED = [
    # ranges
    ("UPDATE catalog_winchmodel SET drum_diameter_mm = 0", "models_drum_diameter_mm"),
    ("UPDATE catalog_adapter SET thickness_mm = -1000.001", "adapters_thickness_mm"),
    ("UPDATE catalog_spacer SET max_count = 0", "spacers_max_count"),
    ("UPDATE catalog_drive SET motor_volts = 36 WHERE power = 'electric'", "drives_motor_volts"),
    ("UPDATE catalog_price SET amount_minor = -1", "prices_amount"),
    ("UPDATE catalog_driveclocking SET from_deg = 360", "drive_clockings_from_deg"),
    # enumerations
    ("UPDATE catalog_part SET status = 'gone'", "parts_status"),
    ("UPDATE catalog_part SET kind = 'button' WHERE sku = 'SW-1'", "parts_kind"),
    ("UPDATE catalog_shaft SET mounting = 'sideways'", "shafts_mounting"),
    ("UPDATE catalog_catalogexception SET lifts = 'space' WHERE lifts = 'mating'", "exceptions_lifts"),
    # texts
    ("UPDATE catalog_maker SET code = 'Tarn Works'", "makers_code"),
    ("UPDATE catalog_maker SET name = ' Tarn'", "makers_name"),
    ("UPDATE catalog_maker SET name = ''", "makers_name"),
    ("UPDATE catalog_maker SET name = E'Ta\\nrn'", "makers_name"),
    ("UPDATE catalog_part SET sku = 'SW 1' WHERE sku = 'SW-1'", "parts_sku"),
    ("UPDATE catalog_price SET currency = 'eur'", "prices_currency"),
    ("UPDATE catalog_part SET gtin = 'none' WHERE sku = 'SW-1'", "parts_gtin"),
    # needed or empty, as another column says
    ("UPDATE catalog_winchfamily SET convertible = false", "families_replace_only_reason_needed"),
    ("UPDATE catalog_winchfamily SET convertible = true", "families_replace_only_reason_empty"),
    ("UPDATE catalog_winchmodel SET rope_min_mm = NULL", "models_rope_min_mm_needed"),
    ("UPDATE catalog_winchmodel SET rope_min_mm = 8 WHERE NOT self_tailing", "models_rope_min_mm_empty"),
    ("UPDATE catalog_shaft SET cut_min_mm = NULL WHERE cut", "shafts_cut_min_mm_needed"),
    ("UPDATE catalog_shaft SET cut_min_mm = 50 WHERE NOT cut", "shafts_cut_min_mm_empty"),
    ("UPDATE catalog_drive SET peak_current_a = NULL", "drives_peak_current_a_needed"),
    ("UPDATE catalog_drive SET peak_current_a = 900", "drives_peak_current_a_empty"),
    ("UPDATE catalog_drivesolid SET x_from_mm = NULL WHERE shape = 'box'", "drive_solids_x_from_mm_needed"),
    ("UPDATE catalog_drivesolid SET x_from_mm = -9 WHERE shape = 'cylinder'", "drive_solids_x_from_mm_empty"),
    ("UPDATE catalog_part SET status = 'withdrawn'", "parts_withdrawn_on_needed"),
    ("UPDATE catalog_part SET status = 'current'", "parts_withdrawn_on_empty"),
    (
        "UPDATE catalog_catalogexception SET kind = 'require' WHERE lifts IS NULL",
        "exceptions_with_sku_needed",
    ),
    # order
    ("UPDATE catalog_productionrun SET year_to = 1900", "runs_year_from_year_to"),
    ("UPDATE catalog_shaftwindow SET to_mm = from_mm - 0.001", "shaft_windows_from_mm_to_mm"),
    ("UPDATE catalog_breakertrip SET latest_s = 0.001", "breaker_trips_earliest_s_latest_s"),
    ("UPDATE catalog_drivesolid SET depth_to_mm = depth_from_mm", "drive_solids_depth_"),
    # one of several, and different ones
    ("UPDATE catalog_catalogexception SET family = NULL, run = NULL", "exceptions_one_of_family_model_run"),
    ("UPDATE catalog_catalogexception SET model = 'rush-16'", "exceptions_one_of_family_model_run"),
    ("UPDATE catalog_supersession SET new = old", "supersessions_old_new_differ"),
    ("UPDATE catalog_drive SET supplied_hand = 'none'", "drives_supplied_hand_agrees"),
    # serials
    (
        "UPDATE catalog_productionrun SET serial_to = 'X' WHERE serial_rule = 'number'",
        "runs_serial_rule_reads",
    ),
    (
        "UPDATE catalog_productionrun SET serial_from = '1' WHERE serial_rule = 'none'",
        "runs_serial_from_empty",
    ),
    (TWIN, "runs_serials_apart"),
    # keys
    ("UPDATE catalog_adapter SET flange = 'narrow'", "catalog_adapter_flange"),
    ("INSERT INTO catalog_adapterbase VALUES ('AD-1', 'ring-6')", "catalog_adapterbase_pkey"),
    ("UPDATE catalog_part SET kind = 'wedge' WHERE sku = 'SP-2'", "catalog_spacer_is_of_its_kind"),
    ("UPDATE catalog_part SET gtin = '06291041500213' WHERE sku = 'SW-1'", "parts_gtin_once"),
    ("UPDATE catalog_drivepiece SET carries_shaft = true", "drive_pieces_one_carries_shaft"),
    ("UPDATE catalog_revision SET number = 0", "permission denied"),
]


@pytest.mark.parametrize(("statement", "constraint"), REFUSED)
def test_the_database_refuses(statement: str, constraint: str) -> None:
    refused = IntegrityError if constraint != "permission denied" else Exception
    with pytest.raises(refused, match=constraint), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(statement)


def test_numbers_of_serials_are_in_order() -> None:
    """Making the range of serials fails, so the row is refused, if in other words."""
    with pytest.raises(DataError, match="range lower bound"), transaction.atomic():
        with connection.cursor() as cursor:
            cursor.execute("UPDATE catalog_productionrun SET serial_to = '99' WHERE serial_rule = 'number'")


def test_a_finer_figure_than_is_kept_does_not_get_in_as_it_is() -> None:
    with connection.cursor() as cursor:
        cursor.execute("UPDATE catalog_spacer SET thickness_mm = 2.0004")
        cursor.execute("SELECT thickness_mm::text FROM catalog_spacer")
        assert cursor.fetchone() == ("2.000",)


def test_every_rule_and_every_bounded_column_has_its_constraint() -> None:
    for resource in RESOURCES:
        names = {one.name for one in TABLES[resource.name]._meta.constraints}
        for rule in resource.rules:
            assert f"{resource.name}_{rule.name}" in names
        for column in resource.columns:
            if column.kind.constraints and not column.kind.refers:
                assert f"{resource.name}_{column.name}" in names


def test_there_is_no_migration_missing() -> None:
    loader = MigrationLoader(None)
    detector = MigrationAutodetector(loader.project_state(), ProjectState.from_apps(apps))
    assert "catalog" not in detector.changes(graph=loader.graph)
