from django.urls import path

from sessions.bookings.money import cards, paper_list, terms, views

app_name = "money"
urlpatterns = [
    path("cards/", cards.card_list, name="cards"),
    path("cards/new/", cards.card_create, name="card_create"),
    path("cards/<int:pk>/", cards.card_detail, name="card"),
    path("cards/<int:pk>/edit/", cards.card_edit, name="card_edit"),
    path("cards/<int:pk>/rates/new/", cards.rate_create, name="rate_create"),
    path("rates/<int:pk>/edit/", cards.rate_edit, name="rate_edit"),
    path("rates/<int:pk>/delete/", cards.rate_delete, name="rate_delete"),
    path("terms/", terms.terms_list, name="terms"),
    path("terms/new/", terms.terms_create, name="terms_create"),
    path("terms/<int:pk>/", terms.terms_detail, name="terms_detail"),
    path("terms/<int:pk>/edit/", terms.terms_edit, name="terms_edit"),
    path("terms/<int:pk>/steps/new/", terms.step_create, name="step_create"),
    path("steps/<int:pk>/edit/", terms.step_edit, name="step_edit"),
    path("steps/<int:pk>/delete/", terms.step_delete, name="step_delete"),
    path("sessions/<int:pk>/", views.session_money, name="session"),
    path("sessions/<int:pk>/charged-by/", views.choose, name="choose"),
    path("sessions/<int:pk>/hours/new/", views.hours_create, name="hours_create"),
    path("hours/<int:pk>/delete/", views.hours_delete, name="hours_delete"),
    path("sessions/<int:pk>/issue/", views.issue, name="issue"),
    path("sessions/<int:pk>/cancellation/", views.cancellation, name="cancellation"),
    path("papers/", paper_list.papers, name="papers"),
    path("papers.csv", paper_list.papers_csv, name="papers_csv"),
    path("papers/<int:pk>/paper.pdf", views.paper_pdf, name="paper_pdf"),
]
