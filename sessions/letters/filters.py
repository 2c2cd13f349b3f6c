from datetime import date

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db.models import Q
from django.utils import timezone
from django_filters import CharFilter, ChoiceFilter, DateFilter, FilterSet, ModelChoiceFilter

from sessions.letters.models import Letter, LetterState

NOT_TOLD = "not_told"
YEARS = [
    MinValueValidator(date(1950, 1, 1), "Check the year: it is too early."),
    MaxValueValidator(date(2150, 1, 1), "Check the year: it is too late."),
]
DAY = {
    "widget": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    "validators": YEARS,
}


def _readers(name: str):
    """The people or clients who have been written to in what the user may read."""
    model = Letter._meta.get_field(name).related_model

    def offered(request):
        letters = Letter.objects.visible_to(request.user)
        return model.objects.filter(pk__in=letters.values(name))

    return offered


class LetterFilter(FilterSet):
    q = CharFilter(method="search", label="Subject, text or address")
    state = ChoiceFilter(
        method="in_state",
        label="What came of it",
        choices=[(NOT_TOLD, "Not told"), *LetterState.choices],
        empty_label="All",
    )
    client = ModelChoiceFilter(queryset=_readers("client"), empty_label="Any client")
    person = ModelChoiceFilter(queryset=_readers("person"), empty_label="Anybody")
    since = DateFilter("written_at", "date__gte", label="Written from", **DAY)
    until = DateFilter("written_at", "date__lte", label="Written until", **DAY)

    class Meta:
        model = Letter
        fields = ["q", "state", "client", "person", "since", "until"]

    def search(self, letters, name, words):
        return letters.filter(
            Q(subject__icontains=words) | Q(text__icontains=words) | Q(to__icontains=words)
        )

    def in_state(self, letters, name, state):
        return (
            letters.not_told(timezone.now()) if state == NOT_TOLD else letters.filter(state=state)
        )
