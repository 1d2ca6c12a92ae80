"""Filters of lists: django-filter, with every parameter known or refused."""

from collections.abc import Iterable
from typing import Any

from django.db.models import Model, QuerySet
from django.utils.datastructures import MultiValueDict
from django_filters.rest_framework import DjangoFilterBackend, FilterSet
from rest_framework.request import Request
from rest_framework.views import APIView

from api.errors import FaultyParameters
from shared.errors import ManyFaults
from shared.words import N_


class StrictFilters(DjangoFilterBackend):
    """A parameter that is misspelt or has a faulty value is a 400: a filter left out is a wrong answer."""

    def filter_queryset[M: Model](  # type: ignore[override]  # the REST framework gives its own Request
        self, request: Request, queryset: QuerySet[M], view: APIView
    ) -> QuerySet[M]:
        filterset: FilterSet | None = self.get_filterset(request, queryset, view)
        known = _of_filters(filterset) if filterset is not None else set()
        refuse_unknown(request.query_params, known | _of_pages(view) | getattr(view, "own_parameters", set()))
        if filterset is None:
            return queryset
        refuse_empty(request.query_params, known)
        if not filterset.is_valid():
            refuse_parameters(
                (name, str(message)) for name, messages in filterset.errors.items() for message in messages
            )
        filtered: QuerySet[M] = filterset.qs
        return filtered


def refuse_parameters(faults: Iterable[tuple[str, str]]) -> None:
    """Raise the faults given as (parameter, sentence), one or many, with 400; nothing when there are none."""
    found = [FaultyParameters(pointer=f"/{name}", parameter=name, reason=reason) for name, reason in faults]
    if len(found) == 1:
        raise found[0]
    if found:
        raise ManyFaultyParameters(found)


class ManyFaultyParameters(ManyFaults, FaultyParameters):
    """Several parameters at once."""

    code = "faulty-parameters"
    title = N_("Several parameters of the address have faults")
    sentence = N_("The address has {count} faults in its parameters.")


def refuse_unknown(given: MultiValueDict[str, Any], known: set[str]) -> None:
    """Raise a fault for every parameter that the address does not know."""
    listed = ", ".join(sorted(known)) or "none"
    refuse_parameters(
        (name, f"not a parameter of this address. It knows: {listed}") for name in given if name not in known
    )


def refuse_empty(given: MultiValueDict[str, Any], names: set[str]) -> None:
    """Raise a fault for each of these parameters that is given without a value: it would be no filter."""
    empty = [name for name in given if name in names and not str(given[name]).strip()]
    refuse_parameters((name, "empty; leave it out instead.") for name in empty)


def _of_filters(filterset: FilterSet) -> set[str]:
    """The parameters as they stand in an address; a range, say, has one for each end."""
    known: set[str] = set()
    for name, field in filterset.form.fields.items():
        suffixes = getattr(field.widget, "suffixes", None)
        known |= {f"{name}_{suffix}" for suffix in suffixes} if suffixes else {name}
    return known


def _of_pages(view: APIView) -> set[str]:
    paginator = getattr(view, "paginator", None)
    return set(getattr(paginator, "parameters", ()))
