"""Rulings of the keeper: what is allowed, forbidden or required beyond the figures."""

from django_filters import FilterSet

from api.v1.filtering import CodeFilter, SkuFilter
from api.v1.keys import code_key
from api.v1.reading import RowDetail, RowList, documented_detail, documented_list
from api.v1.shapes import shape_of
from catalog.models import CatalogException
from catalog.package.resources.articles import EXCEPTIONS

SHAPE = shape_of(EXCEPTIONS, "Exception")


class ExceptionFilters(FilterSet):
    sku = SkuFilter("part_id", "SKU of the part that is ruled about.")
    with_sku = SkuFilter("with_part_id", "SKU of the other part.")
    family = CodeFilter("family", "Code of a winch family; rulings for its models or runs are not found.")
    model = CodeFilter("model", "Code of a winch model; likewise.")
    run = CodeFilter("run", "Code of a production run.")


@documented_list("Parts", "exceptions", SHAPE, "The keeper's rulings for stretches of serials.")
class ExceptionList(RowList):
    shape = SHAPE
    queryset = CatalogException.objects.all()
    filterset_class = ExceptionFilters


@documented_detail("Parts", "exception", SHAPE, code_key("ruling", "millstone-40-laid-aside"))
class ExceptionDetail(RowDetail):
    shape = SHAPE
    queryset = CatalogException.objects.all()
