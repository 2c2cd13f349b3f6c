from django.urls import path

from sessions.setups.headphones import views

app_name = "headphones"
urlpatterns = [
    path("setups/<int:pk>/headphone-mixes/new/", views.mix_create, name="create"),
    path("headphone-mixes/<int:pk>/edit/", views.mix_edit, name="edit"),
    path("headphone-mixes/<int:pk>/remove/", views.mix_delete, name="delete"),
]
