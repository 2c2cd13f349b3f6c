from django.urls import path

from studio.changes import views

app_name = "changes"
urlpatterns = [
    path("changes/", views.of_all, name="list"),
    path("changes/<slug:kind>/<int:pk>/", views.of_thing, name="of"),
]
