from django.urls import path

from sessions.bookings.series import views as booking_views
from sessions.desk.series_pages import views

app_name = "series"
urlpatterns = [
    path("sessions/<int:pk>/series/new/", booking_views.repeat, name="repeat"),
    path("series/<int:pk>/", views.detail, name="detail"),
    path("series/<int:pk>/rest/", views.rest, name="rest"),
]
