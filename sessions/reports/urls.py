app_name = "reports"
urlpatterns = []
