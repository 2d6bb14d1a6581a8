"""The house's one table: when each kind of background process was last alive."""

from __future__ import annotations

from django.db import connection, models
from django.db.models.functions import Now

from fleet.words.said import moment_words


class Heartbeat(models.Model):
    """The latest sign of life of one kind of process, by the database's clock."""

    process = models.CharField(primary_key=True, max_length=40)
    beat_at = models.DateTimeField(db_default=Now())

    class Meta:
        db_table = "house_heartbeat"

    def __str__(self) -> str:
        return f"{self.process}, last alive {moment_words(self.beat_at)}"


def beat(process: str) -> None:
    """This will record that the process is alive now."""
    statement = (
        "INSERT INTO house_heartbeat (process, beat_at) VALUES (%s, now())"
        " ON CONFLICT (process) DO UPDATE SET beat_at = excluded.beat_at"
    )
    with connection.cursor() as cursor:
        cursor.execute(statement, [process])


def seconds_since_beat(process: str) -> float | None:
    """How long ago the process was last alive, in seconds; None if it never was."""
    query = "SELECT extract(epoch FROM now() - beat_at) FROM house_heartbeat WHERE process = %s"
    with connection.cursor() as cursor:
        cursor.execute(query, [process])
        row = cursor.fetchone()
    return None if row is None else float(row[0])
