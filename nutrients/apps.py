from django.apps import AppConfig


class NutrientsConfig(AppConfig):
    name = "nutrients"
    default_auto_field = "django.db.models.BigAutoField"
