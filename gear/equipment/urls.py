app_name = "equipment"
urlpatterns = []
