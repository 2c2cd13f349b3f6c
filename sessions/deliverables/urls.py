from django.urls import path

from sessions.deliverables import views

app_name = "deliverables"
urlpatterns = [
    path("songs/<int:pk>/deliverables/", views.deliverable_list, name="list"),
    path("songs/<int:pk>/deliverables/new/", views.upload, name="upload"),
    path("deliverables/<int:pk>/", views.detail, name="detail"),
    path("files/<int:pk>/", views.download, name="download"),
]
