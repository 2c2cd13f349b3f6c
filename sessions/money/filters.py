from django.db.models import Q
from django_filters import CharFilter, ChoiceFilter, DateFilter, FilterSet

from gear.asked import whole_number
from sessions.bookings.filters import DAY
from sessions.money.models import MoneyPaper, PaperKind


class PaperFilter(FilterSet):
    q = CharFilter(method="search", label="Number, session, project or client")
    kind = ChoiceFilter(choices=PaperKind, empty_label="All", label="Kind")
    signed = ChoiceFilter(
        method="by_signature",
        choices=[("no", "Not signed"), ("yes", "Signed")],
        empty_label="All",
        label="Work orders",
    )
    since = DateFilter("issued_at", "date__gte", label="Issued from", **DAY)
    until = DateFilter("issued_at", "date__lte", label="To", **DAY)

    class Meta:
        model = MoneyPaper
        fields = ["q", "kind", "signed", "since", "until"]

    def search(self, papers, name, words):
        named = (
            Q(session__title__icontains=words)
            | Q(session__project__name__icontains=words)
            | Q(session__project__client__name__icontains=words)
        )
        if (number := whole_number(words.strip())) is not None:
            named |= Q(number=number)
        return papers.filter(named)

    def by_signature(self, papers, name, wanted):
        """Of quotes none is signed, so none is looked for."""
        orders = papers.filter(kind=PaperKind.WORK_ORDER)
        return orders.filter(signed__isnull=wanted == "no")
