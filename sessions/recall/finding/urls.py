from django.urls import path

from sessions.recall.finding import views

app_name = "find"
urlpatterns = [
    path("", views.search, name="search"),
]
