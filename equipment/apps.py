from django.apps import AppConfig


class EquipmentConfig(AppConfig):
    name = "equipment"
    default_auto_field = "django.db.models.BigAutoField"
    #: Tables that the application's account may only insert into and read.
    ledger_tables: tuple[str, ...] = (
        "equipment_movement",
        "equipment_correction",
        "equipment_unitmerge",
        "equipment_sighting",
        "equipment_lifestatement",
        "equipment_certificate",
        "equipment_identification",
        "equipment_unitcorrection",
        "equipment_title",
        "equipment_recordslost",
        "equipment_ruleset",
        "equipment_steplist",
        "equipment_step",
        "equipment_bottlechart",
        "equipment_calibration",
        "equipment_cabin",
        "equipment_complementrule",
        "equipment_cylinderspecification",
        "equipment_requalification",
        "equipment_cylindermarking",
        "equipment_swap",
        "equipment_swapmovement",
        "equipment_stepentry",
        "equipment_signature",
        "equipment_swapend",
        "equipment_walkround",
        "equipment_discrepancy",
        "equipment_settlement",
        "equipment_openitem",
        "equipment_openitemclosed",
        "equipment_repeatactiondone",
        "equipment_unittag",
        "equipment_tagtakenback",
        "equipment_filling",
        "equipment_attachment",
        "equipment_incominginspection",
        "equipment_hold",
        "equipment_holdend",
        "equipment_shoporder",
        "equipment_shoppromise",
        "equipment_shopreturn",
        "equipment_stocktakescan",
        "equipment_stocktakesettlement",
        "equipment_scrapping",
        "equipment_transfer",
        "equipment_transferreceipt",
        "equipment_loan",
        "equipment_loanend",
        "equipment_sentback",
        "equipment_straypaper",
        "equipment_unitprice",
        "equipment_printedtag",
        "equipment_tagback",
        "equipment_purchaserequest",
        "equipment_purchasestep",
        "equipment_binuse",
        "equipment_shopdays",
    )
    kept_tables: dict[str, tuple[str, ...]] = {
        "equipment_stocktake": ("ended_at", "ended_by_id", "ended_words"),
    }

    def ready(self) -> None:
        # Models are ready only now. Ports are declared here, whether or not anybody answers: the
        # house looks through what is declared.
        from equipment.findings.walk import ports as of_walks  # noqa: F401, PLC0415

        from . import sheets  # noqa: PLC0415
        from .availability import ports as of_bottles  # noqa: F401, PLC0415
        from .segregation import ports as of_limits  # noqa: F401, PLC0415
        from .stores import ports as of_stores  # noqa: F401, PLC0415
        from .swaps import ports as of_swaps  # noqa: F401, PLC0415
        from .units import ports as of_units  # noqa: F401, PLC0415

        sheets.make_known()
