from django.urls import path

from sessions.bookings.series import views

app_name = "series"
urlpatterns = [
    path("sessions/<int:pk>/series/new/", views.repeat, name="repeat"),
    path("series/<int:pk>/", views.detail, name="detail"),
]
