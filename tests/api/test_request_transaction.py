"""A request is one transaction: kept below 400, rolled back otherwise, and nobody inherits anybody's rows.

The tests that look at what was kept run without a transaction of their own: inside one, a commit is not one.
"""

from collections.abc import Iterator

import pytest
from django.db import connection
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from shared.models import Membership, Organization, Person
from shared.tenancy import NOBODY, current_context, tenant
from tests.api.conftest import Problem
from tests.factories import MembershipFactory, OrganizationFactory, sign_in

pytestmark = [
    pytest.mark.urls("tests.api.routes"),
    pytest.mark.django_db(transaction=True, databases=["default"]),
]


@pytest.fixture(autouse=True)
def nothing_left_over() -> Iterator[None]:
    before = connection.in_atomic_block
    yield
    assert connection.in_atomic_block == before
    assert current_context() == NOBODY


@pytest.fixture
def member() -> Membership:
    return MembershipFactory.create(role="manager")


def kept() -> bool:
    return Person.objects.filter(email="written@example.org").exists()


@pytest.mark.parametrize("status", [200, 201, 204, 302, 304])
def test_an_answer_below_400_is_kept(client: Client, status: int) -> None:
    assert client.post(f"/page/{status}").status_code == status
    assert kept()


@pytest.mark.parametrize("status", [400, 403, 404, 409, 422, 429, 500, 503])
def test_any_other_answer_of_a_page_is_rolled_back(client: Client, status: int) -> None:
    assert client.post(f"/page/{status}").status_code == status
    assert not kept()


@pytest.mark.parametrize(
    ("what", "status"), [("bug", 500), ("missing", 404), ("denied", 403), ("refused", 409)]
)
def test_what_a_page_raises_is_rolled_back(client: Client, what: str, status: int) -> None:
    response = client.post(f"/page/raises/{what}")
    assert response.status_code == status
    assert response.headers["Content-Type"].startswith("text/html")
    assert b"SELECT secret" not in response.content
    assert not kept()


@pytest.mark.parametrize(
    ("how", "status"),
    [
        ("400", 400),
        ("500", 500),
        ("bug", 500),
        ("missing", 404),
        ("denied", 403),
        ("faulty", 422),
        ("refused", 409),
        ("stale", 412),
        ("gave-up", 422),
    ],
)
def test_a_refusal_or_failure_of_the_api_is_rolled_back(client: Client, how: str, status: int) -> None:
    assert client.post(f"/api/test/ends/{how}").status_code == status
    assert not kept()


def test_a_success_of_the_api_is_kept(client: Client) -> None:
    assert client.post("/api/test/ends/201").status_code == 201
    assert kept()


def test_a_failure_while_rendering_is_rolled_back(client: Client) -> None:
    assert client.post("/page/breaks-while-rendering").status_code == 500
    assert not kept()


def test_the_end_of_the_process_is_rolled_back(client: Client) -> None:
    with pytest.raises(SystemExit):
        client.post("/page/raises/exit")
    assert not kept()


def test_a_success_that_the_database_gave_up_is_a_failure(client: Client) -> None:
    """Without this the caller would be told 201 of a row that is not there."""
    assert client.post("/page/hides-a-failed-statement").status_code == 500
    assert not kept()


def test_a_failed_commit_is_a_problem_too(client: Client, member: Membership, problem: Problem) -> None:
    sign_in(client, member.person)
    problem(client.post("/api/test/fails-at-commit"), 409, "changed-together")
    assert not kept()


def test_a_failed_commit_of_a_page_is_a_page(client: Client, member: Membership) -> None:
    sign_in(client, member.person)
    response = client.post("/page/fails-at-commit")
    assert (response.status_code, response.headers["Content-Type"]) == (409, "text/html; charset=utf-8")
    assert b"violates" not in response.content
    assert not kept()


# --- who
# ------------------------------------------------------------------------------------------------------


def test_two_requests_do_not_inherit_a_tenant(client: Client, member: Membership) -> None:
    signed_in, anonymous = Client(), Client()
    sign_in(signed_in, member.person)
    first = signed_in.get("/page/who").json()
    assert (first["organization"], first["role"], first["seen"]) == (
        str(member.organization_id),
        "manager",
        1,
    )
    second = anonymous.get("/page/who").json()
    assert second == {"person": "", "organization": "", "role": "", "seen": 0, "anonymous": True}


@pytest.mark.parametrize(
    "end", ["/page/500", "/page/raises/bug", "/page/hides-a-failed-statement", "/page/200"]
)
def test_however_a_request_ends_the_next_one_begins_as_nobody(
    client: Client, member: Membership, end: str
) -> None:
    sign_in(client, member.person)
    client.post(end)
    assert Client().get("/page/who").json()["seen"] == 0


@pytest.mark.django_db(databases=["default"])
def test_inside_a_tests_own_transaction_nothing_is_inherited_either(
    client: Client, member: Membership
) -> None:
    sign_in(client, member.person)
    assert client.get("/page/who").json()["seen"] == 1
    assert current_context() == NOBODY
    client.post("/page/500")
    assert current_context() == NOBODY
    assert Client().get("/page/who").json()["seen"] == 0


def test_after_a_request_nothing_is_left_on_its_connection(client: Client, member: Membership) -> None:
    """Whoever gets the connection next, from the pool, may not be a request that sets its own context."""
    sign_in(client, member.person)
    assert client.get("/page/who").json()["seen"] == 1
    assert current_context() == NOBODY
    assert not Membership.objects.exists()


def test_with_several_organizations_the_chosen_one_counts(client: Client, member: Membership) -> None:
    second: Organization = OrganizationFactory.create()
    MembershipFactory.create(organization=second, person=member.person, role="reader")
    sign_in(client, member.person)
    assert client.get("/page/who").json()["organization"] == ""
    sign_in(client, member.person, second)
    chosen = client.get("/page/who").json()
    assert (chosen["organization"], chosen["role"]) == (str(second.pk), "reader")


def test_an_organization_that_one_does_not_belong_to_is_none(client: Client, member: Membership) -> None:
    sign_in(client, member.person, OrganizationFactory.create())
    found = client.get("/page/who").json()
    assert (found["person"], found["organization"]) == (str(member.person_id), "")


def test_a_removed_membership_acts_on_the_next_request(client: Client, member: Membership) -> None:
    sign_in(client, member.person)
    assert client.get("/page/who").json()["organization"] != ""
    with tenant(organization=member.organization_id):
        Membership.objects.filter(pk=member.pk).delete()
    assert client.get("/page/who").json()["organization"] == ""


def test_a_disabled_person_is_nobody(client: Client, member: Membership) -> None:
    sign_in(client, member.person)
    Person.objects.filter(pk=member.person_id).update(is_active=False)
    assert client.get("/page/who").json()["anonymous"] is True


# --- what it costs
# --------------------------------------------------------------------------------------------


def test_what_needs_no_rows_costs_no_query(
    client: Client, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    with django_assert_num_queries(0):
        assert client.get("/page/outside").json() == {"inside": False}
        assert client.get("/nowhere").status_code == 404
        assert client.get("/api/v1/nowhere").status_code == 404
        assert client.get("/problems").status_code == 200


def test_an_anonymous_request_sets_its_context_in_one_statement(
    client: Client, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    with django_assert_num_queries(3) as ran:
        client.post("/page/small", "12345", content_type="text/plain")
    begin, setting, commit = (query["sql"] for query in ran.captured_queries)
    assert (begin, commit) == ("BEGIN", "COMMIT")
    assert setting == "SELECT set_config('app.person', '', true), set_config('app.organization', '', true)"


def test_a_database_that_cannot_be_reached_is_a_503(
    client: Client, problem: Problem, monkeypatch: pytest.MonkeyPatch
) -> None:
    connection.close()
    monkeypatch.setitem(connection.settings_dict, "PORT", "1")
    response = client.get("/api/test/who")
    monkeypatch.undo()
    problem(response, 503, "unavailable")
    assert response.headers["Retry-After"]


def test_a_page_with_faults_answers_422_and_keeps_nothing(client: Client) -> None:
    assert client.post("/page/422").content == b"written"
    assert not kept()


def test_every_answer_has_an_id_of_its_own(client: Client) -> None:
    ids = {
        client.get(address, headers={"X-Request-Id": "mine"}).headers["X-Request-Id"]
        for address in ("/a", "/b")
    }
    assert len(ids) == 2
    assert "mine" not in ids
