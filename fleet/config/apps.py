"""The house as an app: it starts nothing that asks what nobody answers, and grants the accounts their rights
after every migration."""

from __future__ import annotations

from typing import Any

from django.apps import AppConfig
from django.conf import settings
from django.db import connections
from django.db.models.signals import post_migrate

from fleet.house.ports import refuse_unanswered

from . import roles


def grant_after_migration(*, using: str, **_: Any) -> None:
    """This will let the application's account use the tables, when the owner has migrated."""
    application = settings.APPLICATION_ACCOUNT
    with connections[using].cursor() as cursor:
        cursor.execute("SELECT current_user")
        if cursor.fetchone() != (application,):
            roles.grant(cursor, application)


class HouseConfig(AppConfig):
    name = "fleet.config"
    label = "house"
    verbose_name = "House"
    # Tables of packages: who came in and when stays, and the noted migrations are the owner's.
    kept_tables: dict[str, tuple[str, ...]] = {
        "axes_accesslog": ("logout_time",),
        "axes_accessfailurelog": (),
    }
    read_tables: tuple[str, ...] = ("django_migrations",)

    def ready(self) -> None:
        # This app is the last: every other has declared its questions and said what it answers.
        refuse_unanswered()
        for folder in settings.BROKER_FOLDERS:
            folder.mkdir(parents=True, exist_ok=True)
        # The signal comes once for each app, in order.
        post_migrate.connect(
            grant_after_migration, sender=self, dispatch_uid="grant_after_migration"
        )
