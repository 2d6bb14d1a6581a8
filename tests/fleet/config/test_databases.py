"""An address of a database, as Django has it."""

import pytest
from django.db import connection

from fleet.config.databases import of_url
from fleet.config.private import Unusable


def test_an_address_gives_its_parts_and_its_own_options_come_last():
    found = of_url(
        "postgresql://kim:a%20word@db:5433/records?sslmode=require&options=-c%20work_mem%3D64MB"
    )

    assert [found[name] for name in ("NAME", "USER", "PASSWORD", "HOST", "PORT")] == [
        "records",
        "kim",
        "a word",
        "db",
        "5433",
    ]
    assert found["OPTIONS"]["sslmode"] == "require"
    assert found["OPTIONS"]["options"].endswith("-c work_mem=64MB")


@pytest.mark.parametrize("address", ["sqlite:///records", "postgresql://kim@db:5432/"])
def test_an_address_of_no_postgresql_database_is_refused(address):
    with pytest.raises(Unusable):
        of_url(address)


def test_joins_are_planned_as_they_are_written(db):
    with connection.cursor() as cursor:
        cursor.execute("SHOW join_collapse_limit")
        assert cursor.fetchone() == ("4",)
