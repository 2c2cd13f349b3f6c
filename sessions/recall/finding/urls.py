from django.urls import path

from sessions.recall.finding import views

app_name = "find"
urlpatterns = [
    path("find/", views.search, name="search"),
]
