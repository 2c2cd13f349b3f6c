from django.urls import path

from sessions.deliverables.listening import views

app_name = "listening"
urlpatterns = [
    path("files/<int:pk>/light/", views.light_copy, name="light"),
    path("deliverables/<int:pk>/notes/new/", views.note_create, name="note"),
    path("mix-notes/<int:pk>/", views.answer, name="answer"),
    path("deliverables/<int:pk>/bar-1/", views.bar_one, name="bar_one"),
    path("deliverables/<int:pk>/verdict/", views.verdict, name="verdict"),
]
