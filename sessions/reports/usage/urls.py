from django.urls import path

from sessions.reports.usage import views

app_name = "usage"
urlpatterns = [
    path("", views.months, name="months"),
    path("months.csv", views.months_csv, name="csv"),
    path("lapsed/", views.lapsed, name="lapsed"),
    path("unbilled/", views.unbilled, name="unbilled"),
]
