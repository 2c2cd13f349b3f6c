"""A copy asks for what was set: not for 48 V where today's record says that it can damage something."""

from gear.equipment.phantom import ruling_at
from gear.panels.models import Meaning
from sessions.setups.chains.phantom import line_of
from sessions.setups.models import Revision, Setup
from sessions.setups.patching.patch_list import newest_of_sessions


def leave_out_what_harms(setup: Setup) -> None:
    """In the chains of a setup whose settings were copied and are not yet set. Call inside an action."""
    revisions = list(newest_of_sessions([setup.session_id]))
    for revision in revisions:
        if revision.chain.setup_id == setup.pk:
            _leave_out(revision, [each for each in revisions if each.chain.is_up])


def _leave_out(revision: Revision, up: list[Revision]) -> None:
    line = line_of(revision)
    lines = [line, *(line_of(each) for each in up if each.pk != revision.pk)]
    for stage, place in zip(revision.stages.all(), line.places, strict=True):
        asked = {
            control.key
            for control in stage.controls_for(Meaning.PHANTOM)
            if control.key in stage.not_yet_set and (stage.setting(control) or 0) > 0
        }
        if asked and ruling_at(place, lines).harmed:
            stage.settings = {
                key: value for key, value in stage.settings.items() if key not in asked
            }
            stage.touch(*asked)
            stage.save()
