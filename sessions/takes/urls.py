app_name = "takes"
urlpatterns = []
