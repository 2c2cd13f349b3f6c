from django.urls import path

from sessions.bookings.house import views

app_name = "house"
urlpatterns = [
    path("hours/", views.hours, name="hours"),
    path("hours/rooms/<int:pk>/", views.room_hours, name="room_hours"),
    path("hours/people/<int:pk>/", views.person_hours, name="person_hours"),
    path("blocks/", views.blocks, name="blocks"),
    path("blocks/new/", views.block_create, name="block_create"),
    path("blocks/<int:pk>/edit/", views.block_edit, name="block_edit"),
    path("blocks/<int:pk>/lift/", views.block_lift, name="block_lift"),
]
