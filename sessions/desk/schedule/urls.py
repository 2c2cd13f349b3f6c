from django.urls import path

from sessions.desk.schedule import views

app_name = "schedule"
urlpatterns = [
    path("day/", views.day, name="day"),
    path("week/", views.week, name="week"),
    path("month/", views.month, name="month"),
]
