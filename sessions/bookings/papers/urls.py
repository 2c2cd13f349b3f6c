from django.urls import path

from sessions.bookings.papers import views

app_name = "papers"
urlpatterns = [
    path("sessions/<int:pk>/confirmation.pdf", views.confirmation_pdf, name="confirmation"),
    path("sessions/<int:pk>/session.ics", views.session_file, name="session_ics"),
]
