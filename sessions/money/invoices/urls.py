from django.urls import path

from sessions.money.invoices import invoice_list, views
from sessions.money.invoices.stored import INVOICE
from sessions.papers.stored.serving import paper_page

app_name = "invoices"
urlpatterns = [
    path("invoices/", invoice_list.invoices, name="list"),
    path("invoices/<int:pk>/", views.detail, name="detail"),
    path("invoices/<int:pk>/paper.pdf", paper_page, {"kind": INVOICE}, name="pdf"),
    path("invoices/<int:pk>/credit/", views.credit, name="credit"),
    path("invoices/<int:pk>/send/", views.send, name="send"),
    path("clients/<int:pk>/invoices/new/", views.create, name="create"),
    path("papers/<int:pk>/deposit/", views.deposit, name="deposit"),
]
