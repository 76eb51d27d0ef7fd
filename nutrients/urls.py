"""The foods' pages."""

from django.urls import path

from nutrients import export_views, import_views, own_food_views, views

app_name = "nutrients"
urlpatterns = [
    path("", views.food_list, name="food-list"),
    path("foods.csv", export_views.food_csv, name="food-csv"),
    path("<int:pk>/values.csv", export_views.food_values_csv, name="food-values-csv"),
    path("<int:pk>/", views.food_detail, name="food-detail"),
    path("new/", own_food_views.food_new, name="food-new"),
    path("new/supplement/", own_food_views.supplement_new, name="supplement-new"),
    path("new/<slug:kind>/", own_food_views.food_enter, name="food-enter"),
    path("<int:pk>/copy/", own_food_views.food_copy, name="food-copy"),
    path("<int:pk>/edit/", own_food_views.food_edit, name="food-edit"),
    path("<int:pk>/discontinue/", own_food_views.food_discontinue, name="food-discontinue"),
    path("<int:pk>/values/<slug:key>/", own_food_views.value_edit, name="value-edit"),
    path("<int:pk>/estimates/<slug:key>/", own_food_views.estimate_new, name="estimate-new"),
    path("import/", import_views.import_new, name="import-new"),
    path("import/<int:pk>/", import_views.import_detail, name="import-detail"),
    path("import/<int:pk>/again/", import_views.import_again, name="import-again"),
    path("import/<int:pk>/left-out.csv", import_views.import_left_out, name="import-left-out"),
]
