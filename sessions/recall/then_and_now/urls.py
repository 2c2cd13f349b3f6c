from django.urls import path

from sessions.recall.then_and_now import views

app_name = "then_and_now"
urlpatterns = [
    path("rebuilds/<int:pk>/sound/", views.overview, name="rebuild"),
    path("rebuilds/<int:pk>/chains/<int:number>/sound/", views.chain, name="chain"),
    path("rebuilds/<int:pk>/chains/<int:number>/sound/controls/", views.proposal, name="proposal"),
    path("rebuilds/<int:pk>/chains/<int:number>/sound/turned/", views.turned, name="turned"),
    path("rounds/<int:pk>/undo/", views.undo, name="undo"),
]
