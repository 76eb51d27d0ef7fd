from django.apps import AppConfig


class PatientsConfig(AppConfig):
    name = "patients"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self):
        from nutrients.uses import register
        from patients.uses import in_plans

        register("Plans", in_plans)
