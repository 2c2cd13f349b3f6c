from django.urls import path

from sessions.bookings import list_views, times_views
from sessions.desk.booking import views as booking
from sessions.desk.session_pages import files, views
from sessions.desk.stored import CONFIRMATION
from sessions.desk.summary import views as summary_views
from sessions.papers.stored.serving import paper_page

app_name = "bookings"
urlpatterns = [
    path("sessions/", list_views.session_list, name="list"),
    path("sessions/new/", booking.session_create, name="create"),
    path("sessions/new/live/", booking.live, name="live"),
    path("sessions/new/known/", booking.known, name="known"),
    path("sessions/<int:pk>/", views.session_detail, name="detail"),
    path("sessions/<int:pk>/edit/", booking.session_edit, name="edit"),
    path("sessions/<int:pk>/status/", views.session_status, name="status"),
    path("sessions/<int:pk>/credits/new/", views.credit_create, name="credit_create"),
    path("credits/<int:pk>/remove/", views.credit_delete, name="credit_delete"),
    path("sessions/<int:pk>/padding/", times_views.padding, name="padding"),
    path("sessions/<int:pk>/planned-hours/", times_views.planned_hours, name="hours"),
    path("planned-hours/<int:pk>/edit/", times_views.hours_edit, name="hours_edit"),
    path("planned-hours/<int:pk>/remove/", times_views.planned_hours_delete, name="hours_delete"),
    path(
        "sessions/<int:pk>/confirmation.pdf",
        paper_page,
        {"kind": CONFIRMATION},
        name="confirmation",
    ),
    path("sessions/<int:pk>/session.ics", files.session_file, name="session_ics"),
    path("sessions/<int:pk>/call-sheet.pdf", files.call_sheet_pdf, name="call_sheet"),
    path("sessions/<int:pk>/summary/", summary_views.summary, name="summary"),
]
