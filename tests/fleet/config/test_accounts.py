"""The application's account works with the tables but does not own them."""

import pytest
from django.db import ProgrammingError, connection

from fleet.config import roles

pytestmark = pytest.mark.django_db


def test_tests_run_as_the_application(db):
    with connection.cursor() as cursor:
        cursor.execute("SELECT current_user")
        assert cursor.fetchone() == (roles.APPLICATION,)


def test_the_application_cannot_make_tables(db):
    with pytest.raises(ProgrammingError, match="permission denied"), connection.cursor() as cursor:
        cursor.execute("CREATE TABLE made_by_the_application (id int)")


def test_the_owner_can(as_owner):
    with as_owner(), connection.cursor() as cursor:
        cursor.execute("CREATE TABLE made_by_the_owner (id int)")


@pytest.mark.parametrize("act", ["UPDATE {} SET id = id", "DELETE FROM {}", "TRUNCATE {}"])
@pytest.mark.parametrize("table", roles.ledger_tables())
def test_the_application_cannot_change_a_ledger(table, act):
    with pytest.raises(ProgrammingError, match="permission denied"), connection.cursor() as cursor:
        cursor.execute(act.format(table))


@pytest.mark.django_db(transaction=True)
def test_tables_are_emptied_between_transactional_tests():
    with connection.cursor() as cursor:
        cursor.execute("INSERT INTO house_heartbeat VALUES ('worker', now())")
    connection.close()
