from django.apps import AppConfig


class SchedulingConfig(AppConfig):
    name = "scheduling"
    default_auto_field = "django.db.models.BigAutoField"
    #: Tables that the application's account may only insert into and read.
    ledger_tables: tuple[str, ...] = (
        "scheduling_workdone",
        "scheduling_disposition",
        "scheduling_extension",
        "scheduling_pairingruling",
    )

    def ready(self) -> None:
        # Models are ready only now. Importing who hears of changed facts makes it heard.
        from .answers import all as answers  # noqa: PLC0415
        from .answers import facts_changed  # noqa: F401, PLC0415
        from .programme import sheets  # noqa: PLC0415

        answers.provide_all()
        sheets.make_known()
