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


def refused(statement):
    with (
        pytest.raises(ProgrammingError, match="permission denied"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(statement)


def columns_of(table):
    with connection.cursor() as cursor:
        return [each.name for each in connection.introspection.get_table_description(cursor, table)]


KEPT = {
    "people": "fleet_user",
    "tokens": "fleet_apitoken",
    "limits": "scheduling_limit",
    "loads, which say who changed a limit": "fleet_load",
    "who came in and when": "axes_accesslog",
}


@pytest.mark.parametrize("table", KEPT.values(), ids=KEPT)
def test_what_is_kept_changes_in_no_other_column_than_those_that_acts_change(table):
    may = roles.kept_tables()[table]

    assert may and set(may) < set(columns_of(table))
    for column in columns_of(table):
        statement = f'UPDATE {table} SET "{column}" = "{column}"'
        if column in may:
            with connection.cursor() as cursor:
                cursor.execute(statement)
        else:
            refused(statement)
    refused(f"DELETE FROM {table}")
    refused(f"TRUNCATE {table} CASCADE")


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE fleet_user SET is_superuser = true",
        "UPDATE fleet_user SET username = 'another'",
        "UPDATE fleet_apitoken SET role = 'administrator'",
        "UPDATE fleet_apitoken SET expires_at = NULL",
        "UPDATE scheduling_amount SET value = value + 1",
        "DELETE FROM scheduling_clock",
        "UPDATE scheduling_limit SET document = 'another'",
        "UPDATE axes_accesslog SET username = 'another'",
        "INSERT INTO django_migrations (app, name, applied) VALUES ('house', 'x', now())",
        "DELETE FROM django_migrations",
    ],
)
def test_the_application_cannot(statement):
    refused(statement)


def test_a_table_that_is_declared_and_not_there_stops_the_granting(as_owner, monkeypatch):
    monkeypatch.setattr(roles, "kept_tables", lambda: {"fleet_usre": ("password",)})

    with (
        as_owner(),
        connection.cursor() as cursor,
        pytest.raises(LookupError, match="fleet_usre"),
    ):
        roles.grant(cursor, roles.APPLICATION)


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
