app_name = "deliverables"
urlpatterns = []
