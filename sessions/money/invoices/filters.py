from django.db.models import Q
from django_filters import CharFilter, ChoiceFilter, DateFilter, FilterSet

from gear.asked import whole_number
from sessions.bookings.filters import DAY
from sessions.money.invoices.models import Invoice, InvoiceKind


class InvoiceFilter(FilterSet):
    q = CharFilter(method="search", label="Number or client")
    kind = ChoiceFilter(choices=InvoiceKind, empty_label="All", label="Kind")
    since = DateFilter("dated", "gte", label="Dated from", **DAY)
    until = DateFilter("dated", "lte", label="To", **DAY)

    class Meta:
        model = Invoice
        fields = ["q", "kind", "since", "until"]

    def search(self, invoices, name, words):
        named = Q(client__name__icontains=words)
        if (number := whole_number(words.strip())) is not None:
            named |= Q(number=number)
        return invoices.filter(named)
