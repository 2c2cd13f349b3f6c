app_name = "songs"
urlpatterns = []
