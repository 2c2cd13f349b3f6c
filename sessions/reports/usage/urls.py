from django.urls import path

from sessions.reports.usage import views

app_name = "usage"
urlpatterns = [
    path("usage/", views.months, name="months"),
    path("usage.csv", views.months_csv, name="csv"),
    path("usage/holds/", views.holds, name="holds"),
    path("usage/holds.csv", views.holds_csv, name="holds_csv"),
    path("usage/income/", views.income, name="income"),
    path("usage/income.csv", views.income_csv, name="income_csv"),
    path("lapsed-holds/", views.lapsed, name="lapsed"),
    path("unbilled-sessions/", views.unbilled, name="unbilled"),
]
