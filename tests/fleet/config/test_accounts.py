"""The application's account works with the tables but does not own them."""

import pytest
from django.apps import apps
from django.db import ProgrammingError, connection, transaction

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


def test_every_model_that_says_insert_only_is_declared_a_ledger():
    said = {
        m._meta.db_table for m in apps.get_models() if "insert-only" in (m.__doc__ or "").lower()
    }

    assert said
    assert said <= set(roles.ledger_tables())


@pytest.mark.parametrize("act", ["UPDATE {} SET id = id", "DELETE FROM {}", "TRUNCATE {}"])
def test_the_application_cannot_change_a_ledger(act):
    for table in roles.ledger_tables():
        refused = pytest.raises(ProgrammingError, match=f"permission denied for table {table}")
        with refused, transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(act.format(table))


@pytest.mark.django_db(transaction=True)
def test_tables_are_emptied_between_transactional_tests():
    with connection.cursor() as cursor:
        cursor.execute("INSERT INTO house_heartbeat VALUES ('worker', now())")
    connection.close()


def test_every_ledger_has_the_trigger_that_not_even_the_owner_gets_past(db):
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT tgrelid::regclass::text FROM pg_trigger WHERE tgname = 'the_ledger_only_grows'"
        )
        guarded = {table for (table,) in cursor.fetchall()}

    assert set(roles.ledger_tables()) - guarded == set()
