"""What the coming week cannot have: a box on the bench, an assistant who is ill on one evening."""

from datetime import timedelta

from django.utils import timezone

from gear.equipment.actions import report_fault
from gear.equipment.models import Unit
from sessions.bookings.blocks.actions import make_block
from sessions.bookings.models import BlockKind, RecordingSession


def want_stand_ins(work) -> None:
    """Call once all else is booked. Both stay open, so that the pages have something to offer."""
    report_fault(
        Unit.objects.get(asset_tag="DI-01"),
        description="Crackles when its lead is moved; the ground switch has no part in it.",
        to_bench=True,
        by=work.assistant,
    )
    evenings = RecordingSession.objects.filter(title="Episode 3, edit with the producer")
    evening = evenings.upcoming(timezone.now()).order_by("starts_at")[0]
    make_block(
        kind=BlockKind.LEAVE,
        ill=True,
        title="Away",
        starts_at=evening.starts_at - timedelta(hours=8),
        ends_at=evening.ends_at + timedelta(hours=2),
        people=[work.people["piran"]],
        over_bookings=True,
        by=work.manager,
    )
