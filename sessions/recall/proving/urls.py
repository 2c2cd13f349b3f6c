from django.urls import path

from sessions.recall.proving import views

app_name = "proving"
urlpatterns = [
    path("chains/<int:pk>/sound/", views.chain, name="chain"),
    path("measurements/cables/", views.cables, name="cables"),
    path("measurements/<int:pk>/", views.detail, name="detail"),
    path("measurements/<int:pk>/test-file.wav", views.offer_file, name="test_file"),
    path("measurements/<int:pk>/return/", views.take_return, name="take_return"),
    path("measurements/<int:pk>/undo/", views.undo, name="undo"),
]
