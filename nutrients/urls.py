"""The foods' pages."""

from django.urls import path

from nutrients import (
    export_views,
    import_views,
    kitchen_views,
    limit_views,
    own_food_views,
    price_views,
    profile_views,
    views,
)

app_name = "nutrients"
urlpatterns = [
    path("", views.food_list, name="food-list"),
    path("database.zip", export_views.database_export, name="database-export"),
    path("foods.csv", export_views.food_csv, name="food-csv"),
    path("<int:pk>/values.csv", export_views.food_values_csv, name="food-values-csv"),
    path("compare/", views.food_compare, name="food-compare"),
    path("<int:pk>/", views.food_detail, name="food-detail"),
    path("new/", own_food_views.food_new, name="food-new"),
    path("new/supplement/", own_food_views.supplement_new, name="supplement-new"),
    path("new/<slug:kind>/", own_food_views.food_enter, name="food-enter"),
    path("<int:pk>/copy/", own_food_views.food_copy, name="food-copy"),
    path("<int:pk>/edit/", own_food_views.food_edit, name="food-edit"),
    path("<int:pk>/discontinue/", own_food_views.food_discontinue, name="food-discontinue"),
    path("<int:pk>/values/<slug:key>/", own_food_views.value_edit, name="value-edit"),
    path("<int:pk>/estimates/<slug:key>/", own_food_views.estimate_new, name="estimate-new"),
    path("prices/", price_views.price_list, name="price-list"),
    path("<int:pk>/price/", price_views.price_edit, name="price-edit"),
    path("import/", import_views.import_new, name="import-new"),
    path("import/<int:pk>/", import_views.import_detail, name="import-detail"),
    path("import/<int:pk>/again/", import_views.import_again, name="import-again"),
    path("import/<int:pk>/left-out.csv", import_views.import_left_out, name="import-left-out"),
    path("standards/", profile_views.profile_list, name="profile-list"),
    path("standards/compare/", profile_views.profile_compare, name="profile-compare"),
    path("standards/<slug:key>/", profile_views.profile_detail, name="profile-detail"),
    path("standards/<slug:key>/copy/", profile_views.profile_copy, name="profile-copy"),
    path("standards/<slug:key>/edit/", profile_views.profile_edit, name="profile-edit"),
    path("standards/<slug:key>/delete/", profile_views.profile_delete, name="profile-delete"),
    path("standards/<slug:key>/limits/new/", limit_views.limit_new, name="limit-new"),
    path("limits/<int:pk>/", limit_views.limit_detail, name="limit-detail"),
    path("limits/<int:pk>/remove/", limit_views.limit_remove, name="limit-remove"),
    path("cooking/", kitchen_views.retention_list, name="retention-list"),
    path("cooking/<int:pk>/", kitchen_views.retention_detail, name="retention-detail"),
    path("cooking/batches/", kitchen_views.batch_yield_list, name="batch-yield-list"),
    path("cooking/batches/new/", kitchen_views.batch_yield_new, name="batch-yield-new"),
    path("cooking/batches/<int:pk>/", kitchen_views.batch_yield_detail, name="batch-yield-detail"),
    path("cooking/yields/", kitchen_views.cooking_yield_list, name="cooking-yield-list"),
]
