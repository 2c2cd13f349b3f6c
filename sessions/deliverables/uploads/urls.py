from django.urls import path

from sessions.deliverables.uploads import views

app_name = "uploads"
urlpatterns = [
    path("songs/<int:pk>/uploads/", views.create, name="create"),
    path("uploads/<uuid:pk>/", views.pieces, name="pieces"),
]
