"""Changes made on the page of a whole chain: one field at a time, or all that was typed at once."""

from dataclasses import dataclass

from django.db.models import Prefetch
from simple_history.utils import bulk_update_with_history

from gear.acting import action, set_facts
from gear.editing.versions import EditedMeanwhile
from sessions.setups.chains.actions import (
    Seen,
    changed_settings,
    claim_newest,
    lock_with_partners,
    set_alike,
)
from sessions.setups.chains.forms import CONTROL
from sessions.setups.editor.keys import stage_keys
from sessions.setups.models import Chain, Revision, Stage

FACTS = ["path", "channel", "patch_in", "patch_out", "note", "settings"]


class FieldEditedMeanwhile(Exception):
    """Somebody else saved another value of the same field. `stage` is as it stands now."""

    def __init__(self, stage: Stage):
        self.stage = stage
        super().__init__(f"{stage.unit} was changed by somebody else while you were editing it.")


class StageTakenOut(Exception):
    """The stage is not in the chain any more."""


@dataclass(frozen=True)
class Typed:
    """What was typed for a chain by somebody who had `seen` it: facts by the key of the stage."""

    chain: Chain
    seen: Seen
    stages: dict[str, dict]


@action
def set_field(chain: Chain, *, key: str, name: str, was, value, by) -> Revision:
    """Set one field of a stage that stood at `was`; returns the revision that has it now.

    What others changed elsewhere in the chain stays. Raises FieldEditedMeanwhile when the field
    itself has another value by now, StageTakenOut when the stage is gone.
    """
    lock_with_partners(chain)
    newest = _newest([chain]).get()
    stage = _stage(newest, key)
    now = value_in(stage, name)
    if now == value and name.removeprefix(CONTROL) not in stage.not_yet_set:
        return newest
    if now != was:
        raise FieldEditedMeanwhile(stage)
    revision = claim_newest(newest, seen=Seen.of(newest), by=by)
    stage = _stage(revision, key)
    _set(stage, name, value)
    stage.save()
    if name.startswith(CONTROL):
        set_alike(stage, {name.removeprefix(CONTROL): value}, by=by)
    return revision


@action
def set_stages(all_typed: list[Typed], *, by) -> None:
    """Save what was typed for several chains, or nothing at all. Unchanged stages stay.

    Raises EditedMeanwhile, with the newest revision, when another edit of one of them came first.
    """
    changed, names, alike = [], set(), []
    chains = [typed.chain for typed in all_typed]
    lock_with_partners(*chains)
    all_newest = {newest.chain_id: newest for newest in _newest(chains)}
    for typed in all_typed:
        newest = all_newest[typed.chain.pk]
        if Seen.of(newest) != typed.seen:
            raise EditedMeanwhile(newest)
        stages = _stages(newest)
        differing = {
            key: found
            for key, facts in typed.stages.items()
            if (found := _differing(stages[key], facts))
        }
        if differing:
            revision = claim_newest(newest, seen=typed.seen, by=by)
            stages = stages if revision == newest else _stages(revision)
            alike += [
                (stages[key], changed_settings(stages[key].settings, facts["settings"]))
                for key, facts in differing.items()
                if "settings" in facts
            ]
            changed += _changed(stages, differing)
            names.update(*differing.values(), ["not_yet_set"])
    if changed:
        bulk_update_with_history(changed, Stage, sorted(names))
    for stage, settings in alike:
        set_alike(stage, settings, by=by)


@action
def confirm_copied(chain: Chain, *, key: str, by) -> Revision:
    """The unit's controls are set as they were copied. Raises StageTakenOut when it is gone."""
    lock_with_partners(chain)
    newest = _newest([chain]).get()
    if not _stage(newest, key).not_yet_set:
        return newest
    revision = claim_newest(newest, seen=Seen.of(newest), by=by)
    stage = _stage(revision, key)
    stage.touch(*stage.not_yet_set)
    stage.save(update_fields=["not_yet_set"])
    return revision


def value_in(stage: Stage, name: str):
    """What a field of the stage's form says now, as the form cleans it."""
    if name.startswith(CONTROL):
        return stage.settings.get(name.removeprefix(CONTROL))
    value = getattr(stage, name)
    return value.replace("\r\n", "\n") if name == "note" else value


def _newest(chains: list[Chain]):
    stages = Stage.objects.select_related("patch_in", "patch_out")
    newest = (
        Revision.objects.newest()
        .filter(chain__in=chains)
        .select_related("chain__group", "chain__source")
    )
    return newest.prefetch_related(Prefetch("stages", stages))


def _stages(revision: Revision) -> dict[str, Stage]:
    return stage_keys(revision.stages.all())


def _stage(revision: Revision, key: str) -> Stage:
    stage = _stages(revision).get(key)
    if stage is None:
        raise StageTakenOut
    return stage


def _set(stage: Stage, name: str, value) -> None:
    if not name.startswith(CONTROL):
        setattr(stage, name, value)
        return
    key = name.removeprefix(CONTROL)
    if value is None:
        stage.settings.pop(key, None)
    else:
        stage.settings[key] = value
    stage.touch(key)


def _differing(stage: Stage, facts: dict) -> dict:
    asked = [name for name in FACTS if name in facts]
    return {name: facts[name] for name in asked if value_in(stage, name) != facts[name]}


def _changed(stages: dict[str, Stage], differing: dict[str, dict]) -> list[Stage]:
    for key, facts in differing.items():
        settings = facts.get("settings", stages[key].settings)
        set_facts(
            stages[key], **{name: value for name, value in facts.items() if name != "settings"}
        )
        stages[key].set_controls(settings)
    return [stages[key] for key in differing]
