from django.urls import path

from sessions.deliverables.checking import views

app_name = "checking"
urlpatterns = [
    path("projects/<int:pk>/to-deliver/", views.project, name="project"),
]
