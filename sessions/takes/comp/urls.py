from django.urls import path

from sessions.takes.comp import views

app_name = "comp"
urlpatterns = [
    path("parts/<int:pk>/comp/", views.sheet, name="sheet"),
    path("parts/<int:pk>/comp/press/", views.press, name="press"),
    path("parts/<int:pk>/comp/suggested/", views.suggested, name="suggested"),
    path("parts/<int:pk>/comp/note/", views.note, name="note"),
    path("parts/<int:pk>/comp/comp.csv", views.as_csv, name="csv"),
    path("lyric-lines/<int:pk>/split/", views.split, name="split"),
]
