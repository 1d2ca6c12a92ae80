"""Production runs: stretches in which a model was built one way."""

from django_filters import FilterSet

from api.v1.filtering import CodeFilter
from api.v1.keys import code_key
from api.v1.reading import RowDetail, RowList, documented_detail, documented_list
from api.v1.shapes import shape_of
from catalog.models import ProductionRun
from catalog.package.resources.winches import RUNS

SHAPE = shape_of(RUNS, "ProductionRun")


class RunFilters(FilterSet):
    model = CodeFilter("model", "Code of the winch model.")
    base_pattern = CodeFilter("base_pattern", "Code of the base pattern.")
    spindle = CodeFilter("spindle", "Code of the spindle.")


@documented_list("Winches", "production runs", SHAPE)
class ProductionRunList(RowList):
    shape = SHAPE
    queryset = ProductionRun.objects.all()
    filterset_class = RunFilters


@documented_detail("Winches", "production run", SHAPE, code_key("production run", "bellows-30-a"))
class ProductionRunDetail(RowDetail):
    shape = SHAPE
    queryset = ProductionRun.objects.all()
