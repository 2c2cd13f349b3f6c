app_name = "patchbay"
urlpatterns = []
