"""Winch models: one size of a family each, with its gears and production runs."""

from operator import attrgetter

from django_filters import FilterSet

from api.v1.filtering import CodeFilter, WholeFilter
from api.v1.keys import code_key
from api.v1.reading import RowDetail, RowList, documented_detail, documented_list
from api.v1.shapes import Shape, list_of, shape_of
from catalog.models import WinchModel
from catalog.package.resources.winches import MODEL_GEARS, MODELS, RUNS
from catalog.search import models_like

SMALLEST, LARGEST = 1, 999

GEAR = shape_of(MODEL_GEARS, "Gear", without=["model"])
RUN = shape_of(RUNS, "RunOfModel", without=["model"])


def _of_maker(shape: Shape) -> Shape:
    """With the maker, whom the family names."""
    schema = {"type": "string", "description": "Code of the maker."}
    return shape.member("maker", schema, lambda row: row.family.maker_id)


SHAPE = _of_maker(shape_of(MODELS, "WinchModel"))
DETAIL = (
    SHAPE.named("WinchModelDetail", "One size of a family, with its gears and production runs.")
    .member(
        "gears",
        list_of(GEAR.ref, "Gear 1 is the fast one, the last the strongest."),
        lambda row: GEAR.all_as_json(row.gears.all()),
    )
    .member(
        "runs",
        list_of(RUN.ref, "Its production runs, the earliest first."),
        lambda row: RUN.all_as_json(sorted(row.runs.all(), key=attrgetter("year_from", "code"))),
    )
)


class ModelFilters(FilterSet):
    family = CodeFilter("family", "Code of the winch family.")
    size = WholeFilter("size", "The trade's size number.", least=SMALLEST, most=LARGEST)
    size_from = WholeFilter("size", "This size or larger.", least=SMALLEST, most=LARGEST, lookup="gte")
    size_to = WholeFilter("size", "This size or smaller.", least=SMALLEST, most=LARGEST, lookup="lte")


@documented_list("Winches", "winch models", SHAPE)
class WinchModelList(RowList):
    shape = SHAPE
    queryset = WinchModel.objects.select_related("family")
    filterset_class = ModelFilters
    find = staticmethod(models_like)


@documented_detail("Winches", "winch model", DETAIL, code_key("model", "tansy-60"))
class WinchModelDetail(RowDetail):
    shape = DETAIL
    queryset = WinchModel.objects.select_related("family").prefetch_related("gears", "runs")
