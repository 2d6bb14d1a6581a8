from django.apps import AppConfig


class SchedulingConfig(AppConfig):
    name = "scheduling"
    default_auto_field = "django.db.models.BigAutoField"
    #: Tables that the application's account may only insert into and read.
    ledger_tables: tuple[str, ...] = (
        "scheduling_workdone",
        "scheduling_disposition",
        "scheduling_extension",
    )

    def ready(self) -> None:
        from scheduling import receivers, sheets  # noqa: F401, PLC0415 - models are ready only now

        sheets.make_known()
