from django.db.models import Q
from django_filters import CharFilter, ChoiceFilter, DateFilter, FilterSet

from gear.asked import whole_number
from sessions.bookings.filters import DAY
from sessions.money.payments.models import Method, Payment

KINDS = {
    "payment": ("Payments", Q(amount__gt=0, reverses=None)),
    "refund": ("Refunds", Q(amount__lt=0, reverses=None)),
    "correction": ("Corrections", Q(reverses__isnull=False)),
    "free": ("With credit left", Q(free__gt=0)),
}


class PaymentFilter(FilterSet):
    q = CharFilter(method="search", label="Client, reference, note or number")
    kind = ChoiceFilter(
        method="by_kind",
        choices=[(name, word) for name, (word, _) in KINDS.items()],
        empty_label="All",
        label="Kind",
    )
    method = ChoiceFilter(choices=Method, empty_label="All", label="Method")
    since = DateFilter("received_on", "gte", label="Received from", **DAY)
    until = DateFilter("received_on", "lte", label="To", **DAY)

    class Meta:
        model = Payment
        fields = ["q", "kind", "method", "since", "until"]

    def search(self, payments, name, words):
        named = (
            Q(client__name__icontains=words)
            | Q(reference__icontains=words)
            | Q(note__icontains=words)
        )
        if (number := whole_number(words.strip())) is not None:
            named |= Q(pk=number)
        return payments.filter(named)

    def by_kind(self, payments, name, wanted):
        return payments.filter(KINDS[wanted][1])
