app_name = "recipes"
urlpatterns = []
