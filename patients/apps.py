from django.apps import AppConfig


class PatientsConfig(AppConfig):
    name = "patients"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self):
        from nutrients.uses import register
        from patients import library_dogs, newer_versions
        from patients.uses import in_plans
        from recipes import dogs, outdated

        register("Plans", in_plans)
        outdated.register(newer_versions.in_plans)
        dogs.register(library_dogs.choices, library_dogs.find)
