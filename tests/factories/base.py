"""The base of factories for rows that belong to an organization."""

from typing import Any

from factory.django import DjangoModelFactory

from shared.tenancy import TenantModel, tenant


class TenantFactory[M: TenantModel](DjangoModelFactory[M]):
    """Creates the row in its organization's own context: the row policies are in force for tests too."""

    class Meta:
        abstract = True

    @classmethod
    def _create(cls, model_class: type[M], *args: Any, **kwargs: Any) -> M:
        with tenant(organization=kwargs["organization"].pk):
            row: M = super()._create(model_class, *args, **kwargs)  # type: ignore[no-untyped-call]
        return row
