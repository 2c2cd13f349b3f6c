from django.urls import path

from sessions.setups.editor import views

app_name = "editor"
urlpatterns = [
    path("chains/<int:pk>/settings/", views.chain, name="chain"),
    path("chains/<int:pk>/stages/new/", views.add, name="add"),
    path("chains/<int:pk>/stages/confirm/", views.confirm, name="confirm"),
    path("setups/<int:pk>/settings/", views.setup, name="setup"),
    path("chains/<int:pk>/settings/field/", views.field, name="field"),
]
