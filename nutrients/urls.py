app_name = "nutrients"
urlpatterns = []
