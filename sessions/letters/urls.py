from django.urls import path

from sessions.letters import views

app_name = "letters"
urlpatterns = [
    path("letters/", views.letter_list, name="list"),
    path("letters/<int:pk>/", views.letter_detail, name="detail"),
    path("letters/<int:pk>/as-html/", views.letter_html, name="html"),
    path("letters/<int:pk>/again/", views.letter_again, name="again"),
    path("letters/<int:pk>/told/", views.letter_told, name="told"),
    path("letters/files/<int:pk>/", views.letter_file, name="file"),
]
