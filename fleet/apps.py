from django.apps import AppConfig


class FleetConfig(AppConfig):
    name = "fleet"
    default_auto_field = "django.db.models.BigAutoField"
    #: Tables that the application's account may only insert into and read.
    ledger_tables: tuple[str, ...] = (
        "fleet_utilisationreading",
        "fleet_authorisation",
        "fleet_authorisationend",
        "fleet_act",
    )

    def ready(self) -> None:
        from fleet import sheets  # noqa: PLC0415 - models are ready only now

        sheets.make_known()
