"""Backup and restore: into one file and out of it again beside the original, equal to the last row."""

from __future__ import annotations

import json
import shutil
import tarfile
from collections.abc import Iterator
from pathlib import Path

import psutil
import psycopg
import pytest
from django.db import connection
from psycopg import sql
from pytest_django.plugin import DjangoDbBlocker

from fleet.config import postgres
from fleet.config.keeping import copies, counts
from fleet.config.keeping.copies import About
from fleet.config.private import Unusable
from fleet.house.pages import today
from tests.faults.house import House
from tests.fleet.config.installation import Installation, brought_up
from tests.kept import kept_demonstration, put_into

pytestmark = pytest.mark.slow


def ended(made: Installation) -> None:
    for process in psutil.process_iter():
        if made.owns(process):
            process.kill()


@pytest.fixture(scope="module")
def original(
    tmp_path_factory: pytest.TempPathFactory,
    django_db_setup: None,
    django_db_blocker: DjangoDbBlocker,
    shared_folder: Path,
) -> Iterator[Installation]:
    """A house with the whole demonstration in it, which a run of the tests loads once for all of them."""
    made = brought_up(tmp_path_factory.mktemp("original") / "data", shared_folder)
    with django_db_blocker.unblock():
        kept = kept_demonstration(today(), shared_folder)
    (made.data / "uploads" / "loads").mkdir(parents=True)
    (made.data / "uploads" / "loads" / "units.xlsx").write_bytes(b"as it was brought")
    house = House(made)
    with postgres.running(
        house.server
    ):  # for all commands; each would start and stop it for itself
        put_into(kept, house.url_of("postgres"))
        yield made
    ended(made)


@pytest.fixture(scope="module")
def backup(original: Installation) -> Path:
    path = original.data.parent / "kept.greenband"
    done = original.manage("backup", str(path))
    assert done.returncode == 0, done.stderr
    assert "secrets.json" in done.stdout
    return path


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory, shared_folder: Path) -> Iterator[Installation]:
    """A house without records, beside; what is refused leaves it so, and the last test fills it."""
    made = brought_up(tmp_path_factory.mktemp("beside") / "data", shared_folder)
    with postgres.running(House(made).server):
        yield made
    ended(made)


def due(house: Installation) -> str:
    done = house.manage("due", "--csv")
    if done.returncode:
        done = house.manage("due")
    assert done.returncode == 0, done.stderr
    return done.stdout


TABLES = "SELECT tablename FROM pg_tables WHERE schemaname = 'public' ORDER BY 1"
DIGEST = "SELECT md5(string_agg(t::text, '|' ORDER BY t::text)) FROM {} t"


def digests(house: Installation) -> dict[str, str | None]:
    """Every table by one value of all its rows; None: it is empty."""
    with psycopg.connect(House(house).url_of("postgres")) as opened:
        names = [name for (name,) in opened.execute(TABLES)]
        found = {}
        for name in names:
            row = opened.execute(sql.SQL(DIGEST).format(sql.Identifier(name))).fetchone()
            assert row is not None
            found[name] = row[0]
        return found


def changed(backup: Path, to: Path, **told: object) -> Path:
    """The same backup, saying something else of itself."""
    with tarfile.open(backup) as packed:
        packed.extractall(to / "opened", filter="data")
    about = to / "opened" / "about.json"
    about.write_text(json.dumps(json.loads(about.read_text()) | told))
    with tarfile.open(to / "changed.greenband", "w") as packed:
        for each in (to / "opened").iterdir():
            packed.add(each, arcname=each.name)
    shutil.rmtree(to / "opened")
    return to / "changed.greenband"


def test_a_file_that_is_there_is_not_overwritten(original, backup):
    before = backup.read_bytes()[:512]

    done = original.manage("backup", str(backup))

    assert done.returncode == 1
    assert "nothing is overwritten" in done.stderr
    assert backup.read_bytes()[:512] == before


def test_a_living_house_is_not_restored_over(original, backup):
    before = due(original)

    done = original.manage("restore", str(backup))

    assert done.returncode == 1
    assert "into an empty house only" in done.stderr
    assert due(original) == before


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({"migrations": ["fleet.9999_from_later"]}, "a later version of the program"),
        ({"format": 9}, "has format 9"),
    ],
)
def test_another_backup_is_refused_in_a_sentence(backup, empty, tmp_path, told, words):
    done = empty.manage("restore", str(changed(backup, tmp_path, **told)))

    assert done.returncode == 1
    assert words in done.stderr
    assert "Traceback" not in done.stderr


def test_what_is_no_backup_is_refused(empty, tmp_path):
    (tmp_path / "letter.txt").write_text("Dear stores,")

    done = empty.manage("restore", str(tmp_path / "letter.txt"))

    assert done.returncode == 1
    assert "is no backup of Greenband" in done.stderr


def test_what_is_restored_beside_the_original_is_equal(original, backup, empty):
    done = empty.manage("restore", str(backup))

    assert done.returncode == 0, done.stderr
    assert "all counts agree" in done.stdout
    assert due(empty) == due(original)
    before, after = digests(original), digests(empty)
    assert len([digest for digest in before.values() if digest]) > 60  # tables that hold rows
    assert {name: after[name] for name in before if after[name] != before[name]} == {}
    assert empty.manage("check_whereabouts").returncode == 0
    files = [
        p.relative_to(original.data) for p in (original.data / "uploads").rglob("*") if p.is_file()
    ]
    assert files and all((empty.data / path).exists() for path in files)
    # the application's account has its rights and no more: a backup of the copy is possible too
    assert empty.manage("backup", str(empty.data.parent / "again.greenband")).returncode == 0


def test_before_tables_change_a_backup_is_made_of_its_own_accord(original):
    assert original.manage("migrate", "house", "zero").returncode == 0

    done = original.manage("bring_up")

    assert done.returncode == 0, done.stderr
    assert "Backup before the tables change" in done.stdout
    [made] = (original.data / "backups").iterdir()
    assert made.stat().st_mode & 0o777 == 0o600
    assert original.manage("bring_up").stdout == ""


@pytest.mark.django_db
def test_what_differs_after_all_is_named():
    about = About("2027-03-03", counts.applied(), {**counts.counted(), "equipment_movement": 7}, "")

    with pytest.raises(Unusable, match="equipment_movement: 7 then, 0 now"):
        copies._compare(about)


@pytest.mark.django_db
def test_a_table_that_this_version_is_about_to_make_is_not_counted_before(as_owner):
    there = counts.counted()
    with as_owner(), connection.cursor() as cursor:
        cursor.execute("ALTER TABLE equipment_recordslost RENAME TO not_made_yet")

    assert set(there) - set(counts.counted()) == {"equipment_recordslost"}
