from django.urls import path

from sessions.calendar.feeds import views

app_name = "feeds"
urlpatterns = [
    path("feeds/", views.feed_list, name="list"),
    path("feeds/new/", views.feed_create, name="create"),
    path("feeds/<int:pk>/revoke/", views.feed_revoke, name="revoke"),
    path("feeds/<str:token>.ics", views.calendar, name="calendar"),
]
