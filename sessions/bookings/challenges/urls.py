from django.urls import path

from sessions.bookings.challenges import views

app_name = "holds"
urlpatterns = [
    path("sessions/<int:pk>/challenges/new/", views.challenge, name="challenge"),
    path("challenges/<int:pk>/withdraw/", views.withdraw, name="withdraw"),
]
