from django.apps import AppConfig


class RecipesConfig(AppConfig):
    name = "recipes"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self):
        from nutrients.uses import register
        from recipes import staleness
        from recipes.uses import in_recipes

        register("Recipes", in_recipes)
        staleness.connect()
