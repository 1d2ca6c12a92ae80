"""Every model of the catalog has a factory, and what it makes is let in."""

import pytest
from django.apps import apps
from django.db import connection
from factory.django import DjangoModelFactory

from shared.tenancy import TableKind
from tests.factories import catalog as factories

FACTORIES = {
    made._meta.model: made
    for made in vars(factories).values()
    if isinstance(made, type) and issubclass(made, DjangoModelFactory) and not made._meta.abstract
    if made._meta.model._meta.app_label == "catalog"
}


def test_every_model_has_a_factory() -> None:
    assert set(apps.get_app_config("catalog").get_models()) <= set(FACTORIES)


@pytest.mark.django_db
@pytest.mark.parametrize("name", sorted(model.__name__ for model in FACTORIES))
def test_the_row_of_a_factory_is_let_in(name: str) -> None:
    made = next(made for model, made in FACTORIES.items() if model.__name__ == name)
    row = made.create()
    with connection.cursor() as cursor:
        cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
    assert type(row)._default_manager.filter(pk=row.pk).exists()
    assert str(row)


def test_every_table_of_the_catalog_is_shared() -> None:
    kinds = {getattr(model, "table_kind", None) for model in apps.get_app_config("catalog").get_models()}
    assert kinds == {TableKind.SHARED}
