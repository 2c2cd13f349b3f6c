app_name = "setups"
urlpatterns = []
