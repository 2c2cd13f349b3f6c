from django.urls import path

from sessions.bookings.series import views

app_name = "series"
urlpatterns = [
    path("of/<int:pk>/", views.repeat, name="repeat"),
    path("<int:pk>/", views.detail, name="detail"),
]
