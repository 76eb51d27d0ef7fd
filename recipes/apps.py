from django.apps import AppConfig


class RecipesConfig(AppConfig):
    name = "recipes"
    default_auto_field = "django.db.models.BigAutoField"
