from django.urls import path

from sessions.desk.schedule import views

app_name = "schedule"
urlpatterns = [
    path("schedule/day/", views.day, name="day"),
    path("schedule/week/", views.week, name="week"),
    path("schedule/month/", views.month, name="month"),
]
