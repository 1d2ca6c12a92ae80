"""What the pages read from the tables, which hold the newest revision."""

from collections.abc import Sequence

from django.db.models import Prefetch

from catalog.models import Maker, Part, ProductionRun, WinchFamily, WinchModel


def maker_names() -> dict[str, str]:
    return dict(Maker.objects.values_list("code", "name"))


def makers_with_families() -> list[Maker]:
    """Makers by name, each with its families by first year, each with its models by size."""
    models = WinchModel.objects.order_by("size", "code").only("code", "name", "size", "family_id")
    families = WinchFamily.objects.order_by("first_year", "name").prefetch_related(
        Prefetch("models", queryset=models)
    )
    makers = Maker.objects.filter(families__isnull=False).distinct().order_by("name")
    return list(makers.prefetch_related(Prefetch("families", queryset=families)))


def winch_model(code: str) -> WinchModel | None:
    """A model with its family, maker and gears."""
    found = WinchModel.objects.select_related("family__maker").prefetch_related("gears")
    return found.filter(code=code).first()


def runs_of(model: WinchModel) -> Sequence[ProductionRun]:
    runs = ProductionRun.objects.filter(model=model).select_related("base_pattern", "spindle")
    return list(runs.order_by("year_from", "code"))


def part_of(sku: str) -> Part | None:
    """A part with its maker, prices and supersessions."""
    found = Part.objects.select_related("maker").prefetch_related(
        "prices", "superseded_by__new", "supersedes__old"
    )
    return found.filter(sku=sku).first()
