from django.urls import path

from sessions.bookings.musicians import views
from sessions.bookings.musicians.release import RELEASE
from sessions.papers.stored.serving import paper_page

app_name = "musicians"
urlpatterns = [
    path("sessions/<int:pk>/musicians/", views.session, name="session"),
    path("sessions/<int:pk>/musicians.csv", views.session_csv, name="csv"),
    path("sessions/<int:pk>/musicians/press/", views.press, name="press"),
    path("sessions/<int:pk>/credits/by-parts/", views.by_parts, name="by_parts"),
    path("sessions/<int:pk>/attendances/new/", views.attendance_create, name="attendance_create"),
    path("attendances/<int:pk>/edit/", views.attendance_edit, name="attendance_edit"),
    path("attendances/<int:pk>/remove/", views.attendance_remove, name="attendance_remove"),
    path("credits/<int:pk>/edit/", views.credit_edit, name="credit_edit"),
    path("credits/<int:pk>/releases/new/", views.release_log, name="release_log"),
    path("credits/<int:pk>/releases/sign/", views.release_sign, name="release_sign"),
    path("releases/<int:pk>/", views.release, name="release"),
    path("releases/<int:pk>/edit/", views.release_edit, name="release_edit"),
    path("releases/<int:pk>/release.pdf", paper_page, {"kind": RELEASE}, name="release_pdf"),
]
