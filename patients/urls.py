app_name = "patients"
urlpatterns = []
