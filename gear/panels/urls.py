app_name = "panels"
urlpatterns = []
