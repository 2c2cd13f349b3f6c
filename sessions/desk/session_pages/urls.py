from django.urls import path

from sessions.bookings import list_views, times_views
from sessions.desk.session_pages import files, views
from sessions.desk.stored import CONFIRMATION
from sessions.desk.summary import views as summary_views
from sessions.papers.stored.serving import paper_page

app_name = "bookings"
urlpatterns = [
    path("", list_views.session_list, name="list"),
    path("csv/", list_views.session_csv, name="csv"),
    path("new/", views.session_create, name="create"),
    path("<int:pk>/", views.session_detail, name="detail"),
    path("<int:pk>/edit/", views.session_edit, name="edit"),
    path("<int:pk>/status/", views.session_status, name="status"),
    path("<int:pk>/credits/", views.credit_create, name="credit_create"),
    path("credits/<int:pk>/delete/", views.credit_delete, name="credit_delete"),
    path("<int:pk>/padding/", times_views.padding, name="padding"),
    path("<int:pk>/hours/", times_views.planned_hours, name="hours"),
    path("hours/<int:pk>/edit/", times_views.hours_edit, name="hours_edit"),
    path("hours/<int:pk>/delete/", times_views.planned_hours_delete, name="hours_delete"),
    path("<int:pk>/confirmation.pdf", paper_page, {"kind": CONFIRMATION}, name="confirmation"),
    path("<int:pk>/session.ics", files.session_file, name="session_ics"),
    path("<int:pk>/call-sheet.pdf", files.call_sheet_pdf, name="call_sheet"),
    path("<int:pk>/summary/", summary_views.summary, name="summary"),
]
