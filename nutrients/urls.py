"""The foods' pages."""

from django.urls import path

from nutrients import views

app_name = "nutrients"
urlpatterns = [
    path("", views.food_list, name="food-list"),
    path("<int:pk>/", views.food_detail, name="food-detail"),
]
