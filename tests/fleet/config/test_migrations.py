"""The first migration of each app stands for many older ones: both ways must say the same.

Tables are made from the models compared here and from statements compared here, so that equal ones
make equal tables. Dumps of both were compared line by line when the first migrations were written.
"""

from __future__ import annotations

import pytest
from django.db.migrations import RunSQL
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.state import ModelState
from django.db.migrations.writer import MigrationWriter

AT_ONCE = {
    "fleet": "0001_squashed_0016_own_spreadsheets_read_by_the_job",
    "equipment": "0001_squashed_0030_records_lost",
    "scheduling": "0001_squashed_0017_drafts",
}
pytestmark = pytest.mark.parametrize("app", AT_ONCE)


@pytest.fixture(scope="module")
def loader() -> MigrationLoader:
    """All migrations, the older ones too, as an installation sees them that began before."""
    return MigrationLoader(None, replace_migrations=False)


def _older(loader: MigrationLoader, app: str) -> list[tuple[str, str]]:
    return loader.disk_migrations[app, AT_ONCE[app]].replaces


def _said(model: ModelState) -> dict[str, object]:
    options = dict(model.options)
    promises = [each for kind in ("constraints", "indexes") for each in options.pop(kind, [])]
    said = {each.name: each for each in promises} | dict(model.fields)
    return {"bases": model.bases, "options": options} | {
        name: MigrationWriter.serialize(each)[0] for name, each in said.items()
    }


def test_both_ways_end_in_the_same_models(loader, app):
    one, other = (
        {key: _said(model) for key, model in loader.project_state(end).models.items()}
        for end in ((app, AT_ONCE[app]), _older(loader, app)[-1])
    )

    assert len([key for key in one if key[0] == app]) > 10
    assert {key: one[key] for key in one if key[0] == app} == {
        key: other[key] for key in other if key[0] == app
    }


def test_both_ways_ask_the_database_for_the_same_promises(loader, app):
    one, other = (
        [
            operation.sql
            for key in keys
            for operation in loader.disk_migrations[key].operations
            # What only mends rows that an older version wrote has nothing to mend in a new database.
            if isinstance(operation, RunSQL) and not str(operation.sql).startswith("UPDATE ")
        ]
        for keys in ([(app, AT_ONCE[app])], _older(loader, app))
    )

    assert one and one == other


def test_no_older_migration_is_left_out(loader, app):
    older = _older(loader, app)
    until_then = {
        key for key in loader.disk_migrations if key[0] == app and key[1][:4] <= older[-1][1][:4]
    }

    assert {*older, (app, AT_ONCE[app])} == until_then
