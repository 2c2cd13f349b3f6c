"""What the editor of a take has before them."""

from sessions.takes.models import Take


def seen(take: Take) -> dict[int, int]:
    """The versions of all its parts, by key."""
    return dict(take.take_parts.values_list("pk", "version"))
