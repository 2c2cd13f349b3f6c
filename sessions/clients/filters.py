from django import forms
from django.db.models import Q
from django_filters import BooleanFilter, CharFilter, FilterSet

from sessions.clients.models import Client, Person


class RetirableFilter(FilterSet):
    """Current rows; retired ones too where the box is ticked."""

    retired = BooleanFilter(
        method="with_retired", widget=forms.CheckboxInput, label="Include retired"
    )

    def with_retired(self, rows, name, wanted):
        return rows if wanted else rows.current()


class ClientFilter(RetirableFilter):
    q = CharFilter(method="search", label="Name, contact or e-mail")

    class Meta:
        model = Client
        fields = ["q", "retired"]

    def search(self, clients, name, words):
        found = Q(name__icontains=words) | Q(email__icontains=words)
        contacts = Person.objects.filter(Q(name__icontains=words) | Q(email__icontains=words))
        return clients.filter(found | Q(pk__in=contacts.values("client")))


class PersonFilter(RetirableFilter):
    q = CharFilter(method="search", label="Name, role or e-mail")
    bookable = BooleanFilter(
        method="only_bookable", widget=forms.CheckboxInput, label="Bookable only"
    )

    class Meta:
        model = Person
        fields = ["q", "bookable", "retired"]

    def search(self, people, name, words):
        return people.filter(
            Q(name__icontains=words) | Q(does__icontains=words) | Q(email__icontains=words)
        )

    def only_bookable(self, people, name, wanted):
        return people.filter(bookable=True) if wanted else people
