"""What is too large is a problem to programs and a sentence to people, whoever noticed it first."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.django_db
LARGE = 5 * 2**20 + 1


@pytest.fixture(autouse=True)
def answers_as_served(client):
    client.raise_request_exception = False


def test_a_form_that_is_too_large_is_413_and_a_sentence(client):
    answer = client.post(
        "/sign-in/",
        "username=" + "x" * LARGE,
        content_type="application/x-www-form-urlencoded",
    )

    assert answer.status_code == 413
    assert "This is too large. Send it in parts." in answer.content.decode()
    assert "Nothing was changed." in answer.content.decode()


def test_a_form_with_too_many_fields_is_the_same(client):
    fields = "&".join(f"f{number}=" for number in range(1001))

    answer = client.post("/sign-in/", fields, content_type="application/x-www-form-urlencoded")

    assert answer.status_code == 413


def test_what_comes_to_the_api_before_any_door_is_a_problem(client):
    answer = client.get("/api/v1/units", headers={"host": "another.example"})

    assert answer.status_code == 400
    assert answer["Content-Type"] == "application/problem+json"
    assert answer.json()["code"] == "invalid"


def test_a_page_that_cannot_be_read_is_said_as_before(client):
    answer = client.get("/sign-in/", headers={"host": "another.example"})

    assert answer.status_code == 400
    assert "could not be read" in answer.content.decode()


def test_the_schema_names_what_every_door_may_answer():
    from drf_spectacular.generators import SchemaGenerator

    paths = SchemaGenerator().get_schema(request=None, public=True)["paths"]
    operations = [
        (method, each)
        for path in paths.values()
        for method, each in path.items()
        if method in {"get", "post", "put", "patch", "delete"}
    ]

    assert len(operations) > 50
    for method, operation in operations:
        wanted = {"414", "503"} | ({"413"} if method != "get" else set())
        assert wanted <= set(operation["responses"]), operation["operationId"]
