from django.urls import path

from sessions.bookings.free import views

app_name = "free"
urlpatterns = [path("", views.search, name="search")]
