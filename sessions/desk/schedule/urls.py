from django.urls import path

from sessions.desk.schedule import moving, views

app_name = "schedule"
urlpatterns = [
    path("schedule/day/", views.day, name="day"),
    path("schedule/week/", views.week, name="week"),
    path("schedule/month/", views.month, name="month"),
    path("schedule/sessions/<int:pk>/move/", moving.move, name="move"),
    path("schedule/sessions/<int:pk>/move/check/", moving.check, name="check"),
    path("schedule/undo/", moving.undo, name="undo"),
]
