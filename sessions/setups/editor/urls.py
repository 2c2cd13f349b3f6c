from django.urls import path

from sessions.setups.editor import views

app_name = "editor"
urlpatterns = [
    path("chains/<int:pk>/", views.chain, name="chain"),
    path("chains/<int:pk>/add/", views.add, name="add"),
    path("setups/<int:pk>/", views.setup, name="setup"),
    path("chains/<int:pk>/field/", views.field, name="field"),
]
