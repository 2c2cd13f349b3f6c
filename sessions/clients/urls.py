from django.urls import path

from sessions.clients import views
from sessions.clients.lists import views as lists

app_name = "clients"
urlpatterns = [
    path("clients/", views.client_list, name="list"),
    path("clients/import/", lists.import_clients, name="import_clients"),
    path("clients/new/", views.client_create, name="create"),
    path("clients/<int:pk>/", views.client_detail, name="detail"),
    path("clients/<int:pk>/edit/", views.client_edit, name="edit"),
    path("clients/<int:pk>/projects/new/", views.project_create, name="project_create"),
    path("people/", views.people, name="people"),
    path("people/import/", lists.import_people, name="import_people"),
    path("people/new/", views.person_create, name="person_create"),
    path("people/<int:pk>/", views.person_detail, name="person_detail"),
    path("people/<int:pk>/edit/", views.person_edit, name="person_edit"),
    path("projects/<int:pk>/", views.project_detail, name="project_detail"),
    path("projects/<int:pk>/edit/", views.project_edit, name="project_edit"),
]
