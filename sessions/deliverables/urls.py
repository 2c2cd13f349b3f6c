from django.urls import path

from sessions.deliverables import views
from sessions.deliverables.uploads.views import page

app_name = "deliverables"
urlpatterns = [
    path("songs/<int:pk>/deliverables/", views.deliverable_list, name="list"),
    path("songs/<int:pk>/deliverables/new/", page, name="upload"),
    path("deliverables/<int:pk>/", views.detail, name="detail"),
    path("deliverables/<int:pk>/progress/", views.progress, name="progress"),
    path("files/<int:pk>/", views.download, name="download"),
]
