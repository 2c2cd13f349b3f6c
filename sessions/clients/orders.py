"""What a client orders to be delivered for every song of a project."""

from django.db import models


class DeliverableKind(models.TextChoices):
    ROUGH_MIX = "rough_mix", "Rough mix"
    MIX = "mix", "Mix"
    WITHOUT_LEAD = "without_lead", "Mix without lead"
    INSTRUMENTAL = "instrumental", "Instrumental"
    A_CAPPELLA = "a_cappella", "A cappella"
    CLEAN = "clean", "Clean mix"
    VOCAL_UP = "vocal_up", "Vocal up"
    VOCAL_DOWN = "vocal_down", "Vocal down"
    STEMS = "stems", "Stems"
    MULTITRACK = "multitrack", "Consolidated multitrack"
    SESSION_ARCHIVE = "session_archive", "Workstation session archive"
    DOCUMENTATION = "documentation", "Documentation"


# What is one stereo (or surround) mix to be listened to, with versions that can be compared.
MIX_KINDS = (
    DeliverableKind.ROUGH_MIX,
    DeliverableKind.MIX,
    DeliverableKind.WITHOUT_LEAD,
    DeliverableKind.INSTRUMENTAL,
    DeliverableKind.A_CAPPELLA,
    DeliverableKind.CLEAN,
    DeliverableKind.VOCAL_UP,
    DeliverableKind.VOCAL_DOWN,
)


def rules_for(kinds: list[str]) -> dict:
    """As `Project.delivery_rules` keeps them."""
    return {"for_each_song": kinds}


def ordered_kinds(rules: dict) -> list[DeliverableKind]:
    """What is to be delivered for each song, in the order of the choices; a rough mix where nothing
    was agreed."""
    wanted = rules.get("for_each_song")
    if wanted is None:
        return [DeliverableKind.ROUGH_MIX]
    return [kind for kind in DeliverableKind if kind in wanted]
