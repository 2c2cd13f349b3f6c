"""When something was pressed, by the clock of the device and by ours."""

from datetime import UTC, datetime, timedelta

#: From when on a press is one that was kept on the device until the server could be reached.
LATE = timedelta(seconds=10)
#: The longest that a press is believed to have been kept.
LONGEST = timedelta(days=30)


def device_time(milliseconds: int | None, *, else_at: datetime) -> datetime:
    """Milliseconds since 1970; `else_at` where a clock shows what is no time."""
    try:
        return datetime.fromtimestamp(milliseconds / 1000, UTC)
    except (TypeError, ValueError, OverflowError, OSError):
        return else_at


def happened_at(received_at: datetime, *, pressed: int | None, sent: int | None) -> datetime:
    """When it was pressed by our clock: as long before it was received as the device says that it kept
    it. Its clock may be wrong, as long as it runs; where it was set back meanwhile, it was now."""
    if pressed is None or sent is None:
        return received_at
    kept = min(max(sent - pressed, 0), LONGEST // timedelta(milliseconds=1))
    return received_at - timedelta(milliseconds=kept)
