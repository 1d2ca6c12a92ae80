"""Requests made at random from the OpenAPI document: answered as documented, or refused as documented."""

from collections.abc import Iterator
from typing import Any

import pytest
import schemathesis
from django.core import signals
from django.db import close_old_connections
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from schemathesis import GenerationMode
from schemathesis.specs.openapi.checks import (
    negative_data_rejection,
    positive_data_acceptance,
    unsupported_method,
)

from api.v1.openapi import document
from api.wsgi import application
from catalog.models import WinchModel

pytestmark = pytest.mark.django_db(databases=["default", "apart"])

SCHEMA: Any = schemathesis.openapi.from_dict(document())
SCHEMA.app = application
OPERATIONS: list[Any] = [result.ok() for result in SCHEMA.get_all_operations()]
LOOKUPS = "POST /api/v1/lookups"
MODES = (GenerationMode.POSITIVE, GenerationMode.NEGATIVE)
FEW, MANY = 8, 300

operations = pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.label)
modes = pytest.mark.parametrize("mode", MODES, ids=lambda mode: mode.value)


@pytest.fixture(autouse=True)
def _connections_stay_open(demo: int) -> Iterator[None]:
    """Django closes connections between requests that come from a server."""
    for signal in (signals.request_started, signals.request_finished):
        signal.disconnect(close_old_connections)
    yield
    for signal in (signals.request_started, signals.request_finished):
        signal.connect(close_old_connections)


def answered(case: Any, *excluded: Any) -> int:  # noqa: ANN401 - the library's own type is not public
    """Send it, hold the answer to the document, and give its status."""
    response = case.call()
    case.validate_response(response, excluded_checks=[unsupported_method, *excluded])
    assert response.status_code < 500
    if response.status_code >= 400:
        assert response.headers["content-type"] == ["application/problem+json"]
    status: int = response.status_code
    return status


@pytest.mark.filterwarnings("ignore::hypothesis.errors.NonInteractiveExampleWarning")
@operations
def test_what_is_documented_as_an_example_is_answered(operation: Any) -> None:  # noqa: ANN401
    """With its examples every operation answers 200, and so does a list without any parameter."""
    found = operation.get_strategies_from_examples()
    cases = [strategy.example() for strategy in found] or [operation.Case()]
    assert 200 in {answered(case) for case in cases[:2]}


def ask_at_random(operation: Any, mode: GenerationMode, count: int, *, again: bool) -> set[int]:  # noqa: ANN401
    """Send so many requests, the same each time where ``again`` says so; the statuses of their answers."""
    # The document cannot say that a model exists, or that one bound lies below the other.
    excluded = (positive_data_acceptance,) if operation.label == LOOKUPS else ()
    statuses: set[int] = set()

    @settings(
        max_examples=count,
        deadline=None,
        database=None,
        derandomize=again,
        suppress_health_check=list(HealthCheck),
        phases=[Phase.generate],
    )
    @given(case=operation.as_strategy(generation_mode=mode))
    def ask(case: Any) -> None:  # noqa: ANN401
        if mode is GenerationMode.POSITIVE:
            # A cursor is signed, so that none made up is one.
            case.query.pop("cursor", None)
        statuses.add(answered(case, *excluded))

    ask()
    return statuses


@modes
@operations
def test_any_request_is_answered_or_refused(operation: Any, mode: GenerationMode) -> None:  # noqa: ANN401
    assert ask_at_random(operation, mode, FEW, again=True)


@pytest.mark.soak
@modes
@operations
def test_very_many_requests_are_answered_or_refused(operation: Any, mode: GenerationMode) -> None:  # noqa: ANN401
    assert ask_at_random(operation, mode, MANY, again=False)


def ask_about_models(count: int, *, again: bool) -> set[int]:
    """Questions made at random about models that exist; what is left to refuse is what contradicts itself."""
    operation = next(one for one in OPERATIONS if one.label == LOOKUPS)
    models = sorted(WinchModel.objects.values_list("code", flat=True))
    statuses: set[int] = set()

    @settings(
        max_examples=count,
        deadline=None,
        database=None,
        derandomize=again,
        suppress_health_check=list(HealthCheck),
        phases=[Phase.generate],
    )
    @given(case=operation.as_strategy(), model=st.sampled_from(models))
    def ask(case: Any, model: str) -> None:  # noqa: ANN401
        case.body["winch"]["model"] = model
        case.body.pop("revision", None)
        statuses.add(answered(case, positive_data_acceptance, negative_data_rejection))

    ask()
    return statuses


def test_any_question_about_a_model_is_answered_or_refused() -> None:
    assert 200 in ask_about_models(30, again=True)


@pytest.mark.soak
def test_very_many_questions_about_models_are_answered_or_refused() -> None:
    assert ask_about_models(MANY, again=False) <= {200, 400, 422}
