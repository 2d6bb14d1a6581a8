from django.apps import AppConfig


class EquipmentConfig(AppConfig):
    name = "equipment"
    default_auto_field = "django.db.models.BigAutoField"
    #: Tables that the application's account may only insert into and read.
    ledger_tables: tuple[str, ...] = ()
