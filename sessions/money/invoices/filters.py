from django.db.models import Q
from django.utils import timezone
from django_filters import CharFilter, ChoiceFilter, DateFilter, FilterSet

from gear.asked import whole_number
from sessions.bookings.filters import DAY
from sessions.money.invoices.models import Invoice, InvoiceKind


class InvoiceFilter(FilterSet):
    q = CharFilter(method="search", label="Number or client")
    kind = ChoiceFilter(choices=InvoiceKind, empty_label="All", label="Kind")
    state = ChoiceFilter(
        method="by_state",
        choices=[("open", "Open"), ("overdue", "Overdue"), ("settled", "Nothing open")],
        empty_label="All",
        label="State",
    )
    since = DateFilter("dated", "gte", label="Dated from", **DAY)
    until = DateFilter("dated", "lte", label="To", **DAY)

    class Meta:
        model = Invoice
        fields = ["q", "kind", "state", "since", "until"]

    def search(self, invoices, name, words):
        named = Q(client__name__icontains=words)
        if (number := whole_number(words.strip())) is not None:
            named |= Q(number=number)
        return invoices.filter(named)

    def by_state(self, invoices, name, wanted):
        """Of credit notes none is paid, so none is looked for."""
        if wanted == "open":
            return invoices.still_open()
        if wanted == "overdue":
            return invoices.overdue(timezone.localdate())
        return invoices.charging().filter(balance__lte=0)
