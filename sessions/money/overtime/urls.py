from django.urls import path

from sessions.money.overtime import views

app_name = "overtime"
urlpatterns = [
    path("sessions/<int:pk>/overtime/new/", views.approve, name="approve"),
    path("overtime/<int:pk>/void/", views.void, name="void"),
]
