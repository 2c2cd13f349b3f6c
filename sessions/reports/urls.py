from django.urls import path

from sessions.reports import views

app_name = "reports"
urlpatterns = [
    path("sessions/<int:pk>/report/", views.session, name="session"),
    path("sessions/<int:pk>/report.pdf", views.session_pdf, name="session_pdf"),
]
