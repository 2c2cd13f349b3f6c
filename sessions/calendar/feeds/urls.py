from django.urls import path

from sessions.calendar.feeds import views

app_name = "feeds"
urlpatterns = [
    path("", views.feed_list, name="list"),
    path("new/", views.feed_create, name="create"),
    path("<int:pk>/revoke/", views.feed_revoke, name="revoke"),
    path("<str:token>.ics", views.calendar, name="calendar"),
]
