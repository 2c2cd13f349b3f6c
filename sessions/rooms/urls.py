from django.urls import path

from sessions.rooms import studio_views, views

app_name = "rooms"
urlpatterns = [
    path("rooms/", views.rooms, name="list"),
    path("rooms/new/", views.room_create, name="create"),
    path("rooms/<int:pk>/edit/", views.room_edit, name="edit"),
    path("hours/", views.hours, name="hours"),
    path("rooms/<int:pk>/hours/", views.room_hours, name="room_hours"),
    path("people/<int:pk>/hours/", views.person_hours, name="person_hours"),
    path("studio/", studio_views.studio, name="studio"),
    path("studio/logo/", studio_views.logo, name="logo"),
    path("studio/logo.png", studio_views.logo_picture, name="logo_picture"),
    path("house-rules/", views.house_rules, name="house_rules"),
]
