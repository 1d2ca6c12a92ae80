"""Parts: what every part has in a list, and all there is about one of them."""

from django.db.models import Prefetch
from django_filters import FilterSet

from api.v1.filtering import CodeFilter, GtinFilter, OneOfFilter, SkuFilter
from api.v1.keys import sku_key
from api.v1.part_figures import FIGURES
from api.v1.reading import RowDetail, RowList, documented_detail, documented_list
from api.v1.shapes import Shape, list_of, shape_of
from catalog.models import Part, Price, Supersession
from catalog.package.resources.articles import PARTS, PRICES, SUPERSESSIONS
from catalog.resolver.parts import PartKind, Status
from catalog.search import parts_like
from shared.money import Money

MONEY = {"$ref": "#/components/schemas/Money"}


def _price() -> Shape:
    begins = shape_of(PRICES, "Price", without=["sku", "currency", "amount"])
    return begins.member("price", MONEY, lambda row: Money(row.amount_minor, row.currency).as_json())


SHAPE = shape_of(PARTS, "Part")
PRICE = _price()
SUPERSEDED_BY = shape_of(SUPERSESSIONS, "SupersededBy", without=["old"])
SUPERSEDES = shape_of(SUPERSESSIONS, "Supersedes", without=["new"])


def _detail() -> Shape:
    kinds = [figures.shape.ref for figures in FIGURES.values()]
    about = "The figures of its kind. Which of these it is, `kind` says."
    return (
        SHAPE.named("PartDetail", "One part, with the figures of its kind.")
        .member(
            "figures",
            {"description": about, "anyOf": kinds},
            lambda part: FIGURES[PartKind(part.kind)].of_part(part),
        )
        .member(
            "prices",
            list_of(PRICE.ref, "By currency and day. In each currency the newest that has begun counts."),
            lambda part: PRICE.all_as_json(part.prices.all()),
        )
        .member(
            "superseded_by",
            list_of(SUPERSEDED_BY.ref, "What takes its place when it is withdrawn, if that mates and fits."),
            lambda part: SUPERSEDED_BY.all_as_json(part.superseded_by.all()),
        )
        .member(
            "supersedes",
            list_of(SUPERSEDES.ref, "Whose place it takes."),
            lambda part: SUPERSEDES.all_as_json(part.supersedes.all()),
        )
    )


DETAIL = _detail()


class PartFilters(FilterSet):
    kind = OneOfFilter("kind", "What it is.", PartKind)
    maker = CodeFilter("maker", "Code of the maker.")
    status = OneOfFilter("status", "Whether it can be had.", Status)
    sku = SkuFilter("sku", "This very part number.")
    gtin = GtinFilter("gtin", "This GTIN, with zeros before it or without.")


@documented_list("Parts", "parts", SHAPE)
class PartList(RowList):
    shape = SHAPE
    queryset = Part.objects.all()
    filterset_class = PartFilters
    find = staticmethod(parts_like)
    paging_key = "sku"


@documented_detail("Parts", "part", DETAIL, sku_key("CHURN-112-24"))
class PartDetail(RowDetail):
    shape = DETAIL
    lookup_field = "sku"
    queryset = Part.objects.prefetch_related(
        Prefetch("prices", Price.objects.order_by("currency", "valid_from")),
        Prefetch("superseded_by", Supersession.objects.order_by("new")),
        Prefetch("supersedes", Supersession.objects.order_by("old")),
    )
