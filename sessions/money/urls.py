from django.urls import path

from sessions.money import paper_list, views
from sessions.money.cancellations import views as cancellations
from sessions.money.stored import MONEY_PAPER
from sessions.papers.stored.serving import paper_page

app_name = "money"
urlpatterns = [
    path("sessions/<int:pk>/money/", views.session_money, name="session"),
    path("sessions/<int:pk>/rates-and-terms/", views.choose, name="choose"),
    path("sessions/<int:pk>/worked-hours/new/", views.hours_create, name="hours_create"),
    path("worked-hours/<int:pk>/remove/", views.hours_delete, name="hours_delete"),
    path("sessions/<int:pk>/papers/new/", views.issue, name="issue"),
    path("sessions/<int:pk>/cancellation/", cancellations.cancellation, name="cancellation"),
    path("sessions/<int:pk>/cancellation/charge/", cancellations.agree, name="agree_charge"),
    path("papers/", paper_list.papers, name="papers"),
    path("papers/<int:pk>/paper.pdf", paper_page, {"kind": MONEY_PAPER}, name="paper_pdf"),
]
