from django.urls import path

from sessions.desk.stand_ins import views

app_name = "stand_ins"
urlpatterns = [path("stand-ins/", views.stand_ins, name="open")]
