from django.urls import path

from sessions.desk.merging import views

app_name = "duplicates"
urlpatterns = [
    path("clients/duplicates/", views.clients, name="clients"),
    path("clients/<int:pk>/merge/", views.client, name="client"),
    path("people/duplicates/", views.people, name="people"),
    path("people/<int:pk>/merge/", views.person, name="person"),
]
