from django.urls import path

from sessions.money import paper_list, views
from sessions.money.stored import MONEY_PAPER
from sessions.papers.stored.serving import paper_page

app_name = "money"
urlpatterns = [
    path("sessions/<int:pk>/", views.session_money, name="session"),
    path("sessions/<int:pk>/charged-by/", views.choose, name="choose"),
    path("sessions/<int:pk>/hours/new/", views.hours_create, name="hours_create"),
    path("hours/<int:pk>/delete/", views.hours_delete, name="hours_delete"),
    path("sessions/<int:pk>/issue/", views.issue, name="issue"),
    path("sessions/<int:pk>/cancellation/", views.cancellation, name="cancellation"),
    path("papers/", paper_list.papers, name="papers"),
    path("papers.csv", paper_list.papers_csv, name="papers_csv"),
    path("papers/<int:pk>/paper.pdf", paper_page, {"kind": MONEY_PAPER}, name="paper_pdf"),
]
