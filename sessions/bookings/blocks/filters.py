from django.utils import timezone
from django_filters import ChoiceFilter, FilterSet

from sessions.bookings.models import Block, BlockKind


class BlockFilter(FilterSet):
    when = ChoiceFilter(
        method="in_time",
        label="When",
        choices=[("upcoming", "Current and upcoming"), ("past", "Past"), ("removed", "Removed")],
        empty_label="All",
    )
    kind = ChoiceFilter(choices=BlockKind, empty_label="Any kind")

    class Meta:
        model = Block
        fields = ["when", "kind"]

    def in_time(self, blocks, name, when):
        now = timezone.now()
        if when == "removed":
            return blocks.filter(removed=True)
        if when == "past":
            return blocks.filter(ends_at__lte=now)
        return blocks.to_come(now)
