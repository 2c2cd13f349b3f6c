from django.urls import path

from sessions.bookings.blocks import views

app_name = "blocks"
urlpatterns = [
    path("", views.blocks, name="list"),
    path("new/", views.block_create, name="create"),
    path("<int:pk>/edit/", views.block_edit, name="edit"),
    path("<int:pk>/lift/", views.block_lift, name="lift"),
]
