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
        "scheduling_planningrule",
        "scheduling_lifeprice",
        "scheduling_openingprice",
        "scheduling_placement",
        "scheduling_hangarcapacity",
        "scheduling_daycounted",
        "scheduling_workjudged",
        "scheduling_packagehandover",
        "scheduling_packageitem",
        "scheduling_carriedforward",
        "scheduling_checkclosed",
        "scheduling_checkreleased",
        "scheduling_daytold",
    )
    kept_tables: dict[str, tuple[str, ...]] = {
        # A revision of a limit is a new row, with all that hangs on it.
        "scheduling_limit": ("until_on",),
        "scheduling_clock": (),
        "scheduling_calendaraddress": ("withdrawn_at",),
        "scheduling_mailchoice": (
            "address",
            "digest",
            "at_once",
            "not_mailed",
            "not_shown",
            "chosen_at",
        ),
        "scheduling_mail": ("tries", "fault", "next_at", "begun_at", "sent_at"),
        "scheduling_draft": ("ended_how", "ended_at", "ended_by_id"),
        "scheduling_draftchange": ("taken_out_at", "taken_out_by_id"),
        "scheduling_dueview": ("ended_at", "ended_by_id"),
        "scheduling_amount": (),
        "scheduling_limitreset": (),
        "scheduling_limit_part_numbers": (),
        "scheduling_programmeofaircraft": (),
        "scheduling_programme": ("name", "operator", "revision", "govern_spares", "facts_stamp"),
        "scheduling_work": ("name", "is_done_in_place", "certified_by"),
    }

    def ready(self) -> None:
        # Models are ready only now. Importing who hears of changed facts makes it heard.
        from .answers import all as answers  # noqa: PLC0415
        from .answers import facts_changed  # noqa: F401, PLC0415
        from .programme import sheets  # noqa: PLC0415

        answers.provide_all()
        sheets.make_known()
