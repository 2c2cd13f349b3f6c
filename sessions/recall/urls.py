app_name = "recall"
urlpatterns = []
