"""The four places and the practice's own pages."""

from django.contrib.auth.views import LoginView, LogoutView
from django.urls import include, path

from practice import views

practice_pages = [
    path("", views.today, name="today"),
    path("search/", views.search, name="search"),
    path("settings/", views.settings, name="settings"),
    path("sign-in/", LoginView.as_view(template_name="practice/sign_in.html"), name="sign-in"),
    path("sign-out/", LogoutView.as_view(), name="sign-out"),
]

urlpatterns = [
    path("", include((practice_pages, "practice"))),
    path("patients/", include("patients.urls")),
    path("recipes/", include("recipes.urls")),
    path("foods/", include("nutrients.urls")),
]
