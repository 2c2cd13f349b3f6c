from django.urls import path

from sessions.reports.usage import views

app_name = "usage"
urlpatterns = [
    path("usage/", views.months, name="months"),
    path("usage.csv", views.months_csv, name="csv"),
    path("lapsed-holds/", views.lapsed, name="lapsed"),
    path("unbilled-sessions/", views.unbilled, name="unbilled"),
]
