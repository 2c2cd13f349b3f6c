from django.db import transaction

from gear.acting import action
from gear.editing.versions import claim_version
from sessions.setups.headphones.listening import mixes_of
from sessions.setups.headphones.models import HeadphoneMix, MixSnapshot
from sessions.setups.models import Setup


def snapshot_mixes(setup: Setup) -> MixSnapshot:
    """What is heard in the setup now, for the take that is being logged.

    As long as nobody changes a mix, takes share one row.
    """
    mixes = [mix.to_json() for mix in mixes_of([setup])[setup.pk]]
    last = MixSnapshot.objects.filter(setup=setup).order_by("-pk").first()
    if last is not None and last.mixes == mixes:
        return last
    return MixSnapshot.objects.create(setup=setup, mixes=mixes)


@transaction.atomic
def remove_mix(mix: HeadphoneMix, *, version: int) -> None:
    """Take the mix out of its setup; its history stays. Raises EditedMeanwhile."""
    claim_version(mix, version)
    mix.delete()


@action
def use_buffer(setup: Setup, samples: int, *, version: int, by) -> None:
    """Monitor through another buffer. Raises EditedMeanwhile when somebody saved the setup after
    `version`; where it has that buffer already, nothing is saved."""
    if setup.buffer_samples == samples:
        return
    claim_version(setup, version)
    setup.buffer_samples = samples
    setup.save()
