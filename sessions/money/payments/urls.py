from django.urls import path

from sessions.money.payments import account_views, accountant, payment_list, views

app_name = "payments"
urlpatterns = [
    path("payments/", payment_list.payments, name="list"),
    path("payments/<int:pk>/", views.detail, name="detail"),
    path("payments/<int:pk>/invoices/", views.what_for, name="what_for"),
    path("payments/<int:pk>/strike-out/", views.strike, name="strike"),
    path("clients/<int:pk>/payments/new/", views.create, name="create"),
    path("clients/<int:pk>/refunds/new/", views.refund_create, name="refund"),
    path("clients/<int:pk>/account/", account_views.account, name="account"),
    path("clients/<int:pk>/account/credit/", account_views.credit, name="credit"),
    path("clients/<int:pk>/account/statement.pdf", account_views.pdf, name="statement_pdf"),
    path("clients/<int:pk>/account/statement.csv", account_views.csv, name="statement_csv"),
    path("clients/<int:pk>/account/send/", account_views.send, name="send"),
    path("invoices/<int:pk>/reminder/", account_views.reminder, name="reminder"),
    path("accountant/", accountant.accountant, name="accountant"),
    path("accountant/<slug:name>.csv", accountant.accountant_csv, name="accountant_csv"),
]
