from django.urls import path

from sessions.desk.calendar_import import views

app_name = "calendar_import"
urlpatterns = [path("calendar/import/", views.import_page, name="page")]
