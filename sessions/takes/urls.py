from django.urls import path

from sessions.takes import views

app_name = "takes"
urlpatterns = [
    path("session/<int:pk>/", views.session, name="session"),
    path("session/<int:pk>/log/", views.log, name="log"),
    path("<int:pk>/mark/", views.mark, name="mark"),
    path("<int:pk>/circle/", views.circle, name="circle"),
    path("<int:pk>/edit/", views.edit, name="edit"),
    path("parts/<int:pk>/edit/", views.edit_part, name="edit_part"),
]
