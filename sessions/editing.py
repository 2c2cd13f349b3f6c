"""Two people editing one thing: the second gets both versions, nothing is overwritten unseen."""

from django.db import models


class EditedMeanwhile(Exception):
    """Somebody saved the object after this editor opened it. `current` is what is saved now."""

    def __init__(self, current: models.Model):
        self.current = current
        super().__init__(f"{current} was changed by somebody else while you were editing it.")


def claim_version(thing: models.Model, version: int) -> None:
    """Count one edit of `thing`, which must still be at the version that its editor saw.

    Call inside the transaction that makes the change. Raises EditedMeanwhile when another edit
    came first. One UPDATE decides, so two editors cannot both win.
    """
    model = type(thing)
    claimed = model.objects.filter(pk=thing.pk, version=version).update(
        version=models.F("version") + 1
    )
    if not claimed:
        raise EditedMeanwhile(model.objects.get(pk=thing.pk))
    thing.version = version + 1
