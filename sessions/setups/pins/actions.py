from gear.acting import action
from sessions.setups.models import Chain


@action
def pin_control(chain: Chain, *, stage: str, control: str, pinned: bool, by) -> None:
    """Let a control of the chain be changed on the tracking page, or no longer.

    `stage` is its key by `stage_keys`: a pin stays on its unit through copies and moves. A pin is of
    the page, not of the sound, so a fixed revision may get one, and no history is written.
    """
    now = Chain.objects.select_for_update(of=("self",)).get(pk=chain.pk)
    others = [pin for pin in now.pinned if pin != [stage, control]]
    Chain.objects.filter(pk=chain.pk).update(
        pinned=[*others, [stage, control]] if pinned else others
    )
