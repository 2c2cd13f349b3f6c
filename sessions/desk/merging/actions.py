from django.db.models import Model

from gear.acting import action, set_facts
from gear.editing.versions import claim_version
from sessions.desk.merging.pointing import merged_in_words, move_all, reasons_against


class MergeRefused(Exception):
    """The two cannot become one yet; `reasons` are sentences that say what is in the way."""

    def __init__(self, reasons: list[str]):
        self.reasons = reasons
        super().__init__(" ".join(reasons))


@action
def merge(kept: Model, other: Model, *, facts: dict, seen: int, other_seen: int, by) -> None:
    """Let all that points to the other client or person point to the one who is kept, with the facts
    that were chosen; the other is no more, but for its history.

    seen, other_seen: the versions that were compared. Raises EditedMeanwhile where one of them is
    another by now, MergeRefused where both have what only one can have.
    """
    for thing, version in sorted([(kept, seen), (other, other_seen)], key=lambda each: each[0].pk):
        claim_version(thing, version)
    if reasons := reasons_against(kept, other):
        raise MergeRefused(reasons)
    move_all(of=other, to=kept, by=by)
    reason = merged_in_words(other)
    other._change_reason = merged_in_words(kept)
    other.delete()
    set_facts(kept, **facts)
    kept._change_reason = reason
    kept.save()
