from django.urls import path

from sessions.terms import card_views as cards
from sessions.terms import terms_views as terms
from sessions.terms.agreements import views as agreements

app_name = "terms"
urlpatterns = [
    path("rate-cards/", cards.card_list, name="cards"),
    path("rate-cards/new/", cards.card_create, name="card_create"),
    path("rate-cards/<int:pk>/", cards.card_detail, name="card"),
    path("rate-cards/<int:pk>/edit/", cards.card_edit, name="card_edit"),
    path("rate-cards/<int:pk>/rates/new/", cards.rate_create, name="rate_create"),
    path("rates/<int:pk>/edit/", cards.rate_edit, name="rate_edit"),
    path("rates/<int:pk>/remove/", cards.rate_delete, name="rate_delete"),
    path("cancellation-terms/", terms.terms_list, name="list"),
    path("cancellation-terms/new/", terms.terms_create, name="create"),
    path("cancellation-terms/<int:pk>/", terms.terms_detail, name="detail"),
    path("cancellation-terms/<int:pk>/edit/", terms.terms_edit, name="edit"),
    path("cancellation-terms/<int:pk>/steps/new/", terms.step_create, name="step_create"),
    path("cancellation-steps/<int:pk>/edit/", terms.step_edit, name="step_edit"),
    path("cancellation-steps/<int:pk>/remove/", terms.step_delete, name="step_delete"),
    path("house-rules/rates-and-terms/", agreements.of_house, name="agreed_house"),
    path("clients/<int:pk>/rates-and-terms/", agreements.of_client, name="agreed_client"),
    path("projects/<int:pk>/rates-and-terms/", agreements.of_project, name="agreed_project"),
]
