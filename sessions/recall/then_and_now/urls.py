from django.urls import path

from sessions.recall.proving.models import Depth
from sessions.recall.then_and_now.views import measuring, rounds, showing

app_name = "then_and_now"
urlpatterns = [
    path("rebuilds/<int:pk>/sound/", showing.overview, name="rebuild"),
    path("rebuilds/<int:pk>/chains/<int:number>/sound/", showing.chain, name="chain"),
    path(
        "rebuilds/<int:pk>/chains/<int:number>/sound/controls/", showing.proposal, name="proposal"
    ),
    path("rebuilds/<int:pk>/chains/<int:number>/sound/turned/", rounds.turned, name="turned"),
    path("rebuilds/<int:pk>/chains/<int:number>/sound/new/", measuring.measure, name="measure"),
    path(
        "rebuilds/<int:pk>/chains/<int:number>/tones/new/",
        measuring.measure,
        {"depth": Depth.TONES},
        name="measure_tones",
    ),
    path("rounds/<int:pk>/undo/", rounds.undo, name="undo"),
]
