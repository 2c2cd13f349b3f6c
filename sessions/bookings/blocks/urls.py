from django.urls import path

from sessions.bookings.blocks import views

app_name = "blocks"
urlpatterns = [
    path("blocks/", views.blocks, name="list"),
    path("blocks/new/", views.block_create, name="create"),
    path("blocks/<int:pk>/edit/", views.block_edit, name="edit"),
    path("blocks/<int:pk>/remove/", views.block_remove, name="remove"),
]
