from django.urls import path

from gear.panels import views

app_name = "panels"
urlpatterns = [
    path("models/<int:pk>/panel/", views.edit, name="edit"),
    path("models/<int:pk>/panel/versions/", views.versions, name="versions"),
    path("panels/draw/", views.draw, name="draw"),
]
