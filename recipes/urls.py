"""The library's pages."""

from django.urls import path

from recipes.views import (
    acceptance,
    card,
    cooking,
    decisions,
    exchange,
    exports,
    figures,
    library,
    omissions,
    provenance,
    reformulating,
    substituting,
    versions,
    writing,
)

app_name = "recipes"
urlpatterns = [
    path("", library.recipe_list, name="recipe-list"),
    path("figures/", figures.figures_renewal, name="figures-renewal"),
    path("recipes.csv", exports.recipe_csv, name="recipe-csv"),
    path("recipes.json", exchange.library_json, name="library-json"),
    path("ingredients.csv", exchange.ingredients_csv, name="ingredients-csv"),
    path("bring-in/", exchange.recipe_bring_in, name="recipe-bring-in"),
    path("<int:pk>/recipe.json", exchange.recipe_json, name="recipe-json"),
    path("<int:pk>/ingredients.csv", exchange.ingredients_csv, name="recipe-ingredients-csv"),
    path("new/", writing.recipe_new, name="recipe-new"),
    path("panel/", writing.version_panel, name="version-panel"),
    path("foods/", writing.food_search, name="food-search"),
    path("lines/<int:place>/unit/", writing.line_unit, name="line-unit"),
    path("<int:pk>/", library.recipe_detail, name="recipe-detail"),
    path("<int:pk>/compare/", versions.version_compare, name="version-compare"),
    path("<int:pk>/edit/", writing.recipe_edit, name="recipe-edit"),
    path("<int:pk>/review/", decisions.recipe_review, name="recipe-review"),
    path("<int:pk>/send-back/", decisions.recipe_send_back, name="recipe-send-back"),
    path("<int:pk>/retire/", decisions.recipe_retire, name="recipe-retire"),
    path("<int:pk>/bring-back/", decisions.recipe_bring_back, name="recipe-bring-back"),
    path("versions/<int:pk>/adequacy.csv", exports.adequacy_csv, name="adequacy-csv"),
    path("versions/<int:pk>/cooking/", cooking.version_cooking, name="version-cooking"),
    path("versions/<int:pk>/omissions/", omissions.version_omissions, name="version-omissions"),
    path("versions/<int:pk>/reformulate/", reformulating.version_reformulate, name="version-reformulate"),
    path("versions/<int:pk>/provenance/", provenance.version_provenance, name="version-provenance"),
    path("versions/<int:pk>/card.pdf", card.version_card, name="version-card"),
    path("versions/<int:pk>/approve/", decisions.version_approve, name="version-approve"),
    path("versions/<int:pk>/open-limits/", acceptance.version_open_limits, name="version-open-limits"),
    path("accepted/<int:pk>/take-back/", acceptance.acceptance_take_back, name="acceptance-take-back"),
    path("versions/<int:pk>/restore/", versions.version_restore, name="version-restore"),
    path("versions/<int:pk>/copy/", versions.version_copy, name="version-copy"),
    path(
        "versions/<int:pk>/substitutes/<int:food>/",
        substituting.ingredient_substitutes,
        name="ingredient-substitutes",
    ),
    path(
        "versions/<int:pk>/substitutes/<int:food>/by/<int:by>/",
        substituting.substitution_new,
        name="substitution-new",
    ),
    path("substitutions/<int:pk>/", substituting.substitution_edit, name="substitution-edit"),
    path("substitutions/<int:pk>/approve/", substituting.substitution_approve, name="substitution-approve"),
    path(
        "substitutions/<int:pk>/withdraw/", substituting.substitution_withdraw, name="substitution-withdraw"
    ),
    path(
        "substitutions/<int:pk>/take-out/", substituting.substitution_take_out, name="substitution-take-out"
    ),
    path("substitutions/<int:pk>/put-in/", substituting.substitution_put_in, name="substitution-put-in"),
]
