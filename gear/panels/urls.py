from django.urls import path

from gear.panels import views

app_name = "panels"
urlpatterns = [
    path("models/<int:pk>/", views.edit, name="edit"),
    path("models/<int:pk>/versions/", views.versions, name="versions"),
    path("draw/", views.draw, name="draw"),
]
