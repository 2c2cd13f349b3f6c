from django.urls import path

from sessions.deliveries import views
from sessions.deliveries.opening import views as opening
from sessions.deliveries.packing import views as packing

app_name = "deliveries"
urlpatterns = [
    path("deliverables/<int:pk>/send/", views.send_page, name="send"),
    path("deliveries/<int:pk>/", views.detail, name="detail"),
    path("deliveries/<int:pk>/withdraw/", views.withdraw_page, name="withdraw"),
    path("deliveries/<int:pk>/release/", views.release_page, name="release"),
    path("deliveries/recipients/<int:pk>/", views.send_again_page, name="send_again"),
    path("projects/<int:pk>/deliveries/", views.project_list, name="project"),
    path("projects/<int:pk>/recipients/new/", views.approve, name="approve"),
    path("approved-recipients/<int:pk>/remove/", views.disapprove, name="disapprove"),
    path("deliverables/<int:pk>/pack.zip", packing.of_deliverable, name="pack"),
    path("songs/<int:pk>/pack.zip", packing.of_song, name="song_pack"),
    # The recipients' own. The proxy keeps all that begins so out of its logs.
    path("d/<str:token>/", opening.page, name="open"),
    path("d/<str:token>/files/<int:pk>/", opening.file, name="open_file"),
    path("d/<str:token>/pack.zip", opening.pack, name="open_pack"),
    path("d/<str:token>/mixes/<int:pk>/note/", opening.note, name="open_note"),
    path("d/<str:token>/mixes/<int:pk>/verdict/", opening.verdict, name="open_verdict"),
    path("d/<str:token>/received/", opening.received, name="received"),
]
