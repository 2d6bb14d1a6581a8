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
        "equipment_title",
    )

    def ready(self) -> None:
        from equipment import sheets  # noqa: PLC0415 - models are ready only now

        sheets.make_known()
