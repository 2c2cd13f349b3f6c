app_name = "clients"
urlpatterns = []
