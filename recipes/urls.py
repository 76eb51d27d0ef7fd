"""The library's pages."""

from django.urls import path

from recipes.views import card, decisions, exchange, exports, library, provenance, writing

app_name = "recipes"
urlpatterns = [
    path("", library.recipe_list, name="recipe-list"),
    path("recipes.csv", exports.recipe_csv, name="recipe-csv"),
    path("recipes.json", exchange.library_json, name="library-json"),
    path("ingredients.csv", exchange.ingredients_csv, name="ingredients-csv"),
    path("bring-in/", exchange.recipe_bring_in, name="recipe-bring-in"),
    path("<int:pk>/recipe.json", exchange.recipe_json, name="recipe-json"),
    path("<int:pk>/ingredients.csv", exchange.ingredients_csv, name="recipe-ingredients-csv"),
    path("new/", writing.recipe_new, name="recipe-new"),
    path("panel/", writing.version_panel, name="version-panel"),
    path("foods/", writing.food_search, name="food-search"),
    path("<int:pk>/", library.recipe_detail, name="recipe-detail"),
    path("<int:pk>/edit/", writing.recipe_edit, name="recipe-edit"),
    path("<int:pk>/review/", decisions.recipe_review, name="recipe-review"),
    path("<int:pk>/retire/", decisions.recipe_retire, name="recipe-retire"),
    path("versions/<int:pk>/adequacy.csv", exports.adequacy_csv, name="adequacy-csv"),
    path("versions/<int:pk>/provenance/", provenance.version_provenance, name="version-provenance"),
    path("versions/<int:pk>/card.pdf", card.version_card, name="version-card"),
    path("versions/<int:pk>/approve/", decisions.version_approve, name="version-approve"),
]
