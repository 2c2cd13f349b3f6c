from django.urls import path

from sessions.setups.headphones import views

app_name = "headphones"
urlpatterns = [
    path("setups/<int:pk>/new/", views.mix_create, name="create"),
    path("<int:pk>/", views.mix_edit, name="edit"),
    path("<int:pk>/take-out/", views.mix_delete, name="delete"),
]
