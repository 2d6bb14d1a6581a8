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
        "fleet_jobhandedon",
        "fleet_checkrecord",
    )
    kept_tables: dict[str, tuple[str, ...]] = {
        "fleet_user": (
            "password",
            "last_login",
            "first_name",
            "last_name",
            "is_active",
            "roles",
            "home_station_id",
            "link_made_at",
        ),
        "fleet_apitoken": ("withdrawn_at",),
        # Who brought what when stays as it was: of a limit it is who changed it.
        "fleet_load": (
            "state",
            "mode",
            "applied_at",
            "tries",
            "progress_done",
            "progress_total",
            "progress_words",
            "accepted",
            "refused",
            "known",
            "fault",
            "summary",
            "beside",
        ),
        "fleet_loadfile": (),
    }

    def ready(self) -> None:
        # Models are ready only now; ports are declared here, whether or not anybody answers. Who signs in is
        # noted from the first moment on.
        from fleet import sheets  # noqa: PLC0415
        from fleet.aircraft import ports as of_aircraft  # noqa: F401, PLC0415
        from fleet.loading import ports as of_loads  # noqa: F401, PLC0415
        from fleet.people import ports, presence  # noqa: F401, PLC0415

        sheets.make_known()
