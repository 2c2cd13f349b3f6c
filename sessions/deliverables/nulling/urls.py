from django.urls import path

from sessions.deliverables.nulling import views

app_name = "nulling"
urlpatterns = [
    path("deliverables/<int:pk>/null-tests/", views.start_test, name="start"),
    path("null-tests/<int:pk>/", views.detail, name="detail"),
]
