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
        "fleet_personact",
    )

    def ready(self) -> None:
        # Models are ready only now; ports are declared here, whether or not anybody answers. Who signs in is
        # noted from the first moment on.
        from fleet import sheets  # noqa: PLC0415
        from fleet.aircraft import ports as of_aircraft  # noqa: F401, PLC0415
        from fleet.people import ports, presence  # noqa: F401, PLC0415

        sheets.make_known()
