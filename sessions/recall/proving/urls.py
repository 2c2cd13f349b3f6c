from django.urls import path

from sessions.recall.proving import views
from sessions.recall.proving.models import Depth
from sessions.recall.proving.units import views as units

app_name = "proving"
urlpatterns = [
    path("chains/<int:pk>/sound/", views.chain, name="chain"),
    path("chains/<int:pk>/tones/", views.chain, {"depth": Depth.TONES}, name="tones"),
    path("units/<int:pk>/sound/", units.years, name="unit"),
    path("units/<int:pk>/sound/new/", units.measure, name="measure_unit"),
    path("units/<int:pk>/sound/pair/", units.pair, name="pair"),
    path("measurements/cables/", views.cables, name="cables"),
    path("measurements/<int:pk>/", views.detail, name="detail"),
    path("measurements/<int:pk>/test-file.wav", views.offer_file, name="test_file"),
    path("measurements/<int:pk>/return/", views.take_return, name="take_return"),
    path("measurements/<int:pk>/readings/", views.readings, name="readings"),
    path("measurements/<int:pk>/undo/", views.undo, name="undo"),
]
