from django.urls import path

from sessions.deliverables import views

app_name = "deliverables"
urlpatterns = [
    path("song/<int:pk>/", views.deliverable_list, name="list"),
    path("song/<int:pk>/new/", views.upload, name="upload"),
    path("<int:pk>/", views.detail, name="detail"),
    path("file/<int:pk>/", views.download, name="download"),
]
