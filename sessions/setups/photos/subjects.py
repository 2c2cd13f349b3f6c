"""What can be photographed in a setup: each as a photograph that has no picture yet."""

from sessions.setups.models import Photo, Revision, Setup, Stage, Subject
from sessions.setups.photos.changes import FLOOR, rack_of


def subjects_of(setup: Setup) -> dict[str, Photo]:
    """By the key that a form sends, what is of the whole setup first. Load it `with_chains`."""
    revisions = [chain.newest_revision() for chain in setup.chains.all()]
    stages = [stage for revision in revisions for stage in revision.stages.all()]
    found = {
        "setup": Photo(subject=Subject.SETUP, about=str(setup)),
        "floor": Photo(subject=Subject.FLOOR, about=FLOOR),
    }
    for group in setup.groups.all():
        found[f"floor-{group.pk}"] = Photo(subject=Subject.FLOOR, about=str(group))
    for rack in sorted({rack_of(stage) for stage in stages} - {""}):
        found[f"rack-{rack}"] = Photo(subject=Subject.RACK, about=rack)
    points = [point for stage in stages for point in (stage.patch_in, stage.patch_out) if point]
    for bay in sorted({point.bay for point in points}, key=str):
        found[f"bay-{bay.pk}"] = Photo(subject=Subject.BAY, bay=bay, about=str(bay))
    for revision in revisions:
        found |= chain_subjects(revision)
        found |= {stage.photo_key: _of_unit(stage) for stage in revision.stages.all()}
    for photo in found.values():
        photo.setup = setup
    return found


def chain_subjects(revision: Revision) -> dict[str, Photo]:
    """What is of the chain and of none of its units."""
    chain = revision.chain
    facts = {"revision": revision, "about": chain.source.name}
    return {
        f"source-{chain.pk}": Photo(subject=Subject.SOURCE, **facts),
        f"placement-{chain.pk}": Photo(subject=Subject.PLACEMENT, **facts),
    }


def _of_unit(stage: Stage) -> Photo:
    unit = stage.facts.unit
    return Photo(
        subject=Subject.UNIT,
        revision=stage.revision,
        unit=stage.unit,
        channel=stage.channel,
        about=f"{unit.tag} {unit.model}",
    )
