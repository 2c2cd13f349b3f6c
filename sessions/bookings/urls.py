app_name = "bookings"
urlpatterns = []
