from django.urls import path

from sessions.bookings.free import views

app_name = "free"
urlpatterns = [path("free-time/", views.search, name="search")]
