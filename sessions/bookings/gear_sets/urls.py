from django.urls import path

from sessions.bookings.gear_sets import views

app_name = "gear_sets"
urlpatterns = [
    path("gear-sets/", views.gear_sets, name="list"),
    path("gear-sets/new/", views.create, name="create"),
    path("gear-sets/<int:pk>/edit/", views.edit, name="edit"),
]
