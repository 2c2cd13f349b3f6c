from django.urls import path

from sessions.recall.finding import views

app_name = "find"
urlpatterns = [
    path("recall-sheets/", views.search, name="search"),
]
