from django.apps import AppConfig

from nutrients.language import compile_catalogues


class NutrientsConfig(AppConfig):
    name = "nutrients"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self):
        compile_catalogues()
