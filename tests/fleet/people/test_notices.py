"""What became of what a person decided: read by page and by program, by nobody else."""

from __future__ import annotations

import pytest
from django.test import Client

from fleet.models import Notice, User
from fleet.people.acts.notices import tell
from tests import builders as build
from tests.api.conftest import administrator, program, secret_of  # noqa: F401

pytestmark = pytest.mark.django_db
AT = build.instant("2027-06-01 12:00")
FAILED = "HS-1 S/N 7 is no longer set aside for Q-BIRK D1L: it is held."


@pytest.fixture
def clerk(db):
    return build.a_person("stores")


@pytest.fixture
def desk(clerk):
    return signed_in(clerk)


def signed_in(user):
    client = Client()
    client.force_login(user, "django.contrib.auth.backends.ModelBackend")
    return client


def text(answer):
    return answer.content.decode()


def told(to, words=FAILED, link="/stores/"):
    return tell(to=to, words=words, link=link, at=AT)


def test_nothing_to_read_says_what_would_be_here(desk):
    assert "Nothing new to read." in text(desk.get("/notices/"))


def test_every_page_says_how_many_wait_and_only_ones_own(desk, clerk):
    told(clerk), told(clerk), told(build.a_person("stores"), "Somebody else's")

    assert "Notices <strong>2</strong>" in text(desk.get("/aircraft/"))
    assert "Somebody else" not in text(desk.get("/notices/"))


def test_a_notice_leads_to_what_it_is_about_and_is_read(desk, clerk):
    notice = told(clerk)

    answer = desk.post(f"/notices/{notice.pk}/read/", {"go": "1"})

    assert answer["Location"] == "/stores/"
    assert Notice.objects.get().read_at is not None
    assert "Nothing new to read." in text(desk.get("/notices/"))
    assert FAILED in text(desk.get("/notices/"))


def test_a_notice_never_leads_to_another_site(desk, clerk):
    notice = told(clerk, link="//elsewhere.example/")

    assert desk.post(f"/notices/{notice.pk}/read/", {"go": "1"})["Location"] == "/notices/"


def test_read_twice_it_was_read_once(desk, clerk):
    notice = told(clerk)

    desk.post(f"/notices/{notice.pk}/read/")
    first = Notice.objects.get().read_at
    desk.post(f"/notices/{notice.pk}/read/")

    assert Notice.objects.get().read_at == first


def test_nobody_reads_what_is_for_another(desk):
    notice = told(build.a_person("stores"))

    answer = desk.post(f"/notices/{notice.pk}/read/", follow=True)

    assert "You have no such notice" in text(answer)
    assert Notice.objects.get().read_at is None


@pytest.mark.parametrize("page", ["0", "-1", "x", "9999", "²"])
def test_a_made_up_page_is_no_fault(desk, clerk, page):
    Notice.objects.create(to=clerk, words="Read", at=AT, read_at=AT)

    assert desk.get("/notices/", {"page": page}).status_code == 200


def test_nobody_reads_notices_without_signing_in(client):
    assert client.get("/notices/").status_code == 302


# --- by program -------------------------------------------------------------------------------


@pytest.fixture
def stores(program):  # noqa: F811
    return program("stores")


@pytest.fixture
def answerable(stores):
    Notice.objects.all().delete()  # that a token was made in this name
    return User.objects.get(username="program-stores")


def test_a_program_reads_the_notices_of_who_answers_for_it(stores, answerable):
    first, second = told(answerable), told(answerable, "Planned on another day")
    told(build.a_person("stores"))

    found = stores.get("/api/v1/notices").json()["results"]

    assert [each["id"] for each in found] == [second.pk, first.pk]
    assert found[1]["words"] == FAILED


def test_what_is_read_is_asked_for_apart(stores, answerable):
    notice, left = told(answerable), told(answerable)
    address = f"/api/v1/notices/{notice.pk}/read"

    answers = [stores.post(address, {}, format="json") for _ in range(2)]

    assert [each.status_code for each in answers] == [201, 200]
    assert answers[0].json() == answers[1].json()
    [unread] = stores.get("/api/v1/notices?is_unread=true").json()["results"]
    assert unread["id"] == left.pk


def test_a_program_does_not_read_what_is_for_another(stores):
    notice = told(build.a_person("stores"))

    answer = stores.post(f"/api/v1/notices/{notice.pk}/read", {}, format="json")

    assert (answer.status_code, answer.json()["code"]) == (404, "unknown_notice")
