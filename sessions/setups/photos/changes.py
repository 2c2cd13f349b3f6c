"""What a photograph shows, as it is logged, and what of that was changed after it was taken."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from sessions.setups.models import Photo, Placement, Revision, SourceFacts, Stage, Subject
from sessions.setups.photos.reduced import for_paper, grey

Facts = dict[str, dict]
FLOOR = "the whole floor"


@dataclass(frozen=True)
class ShownPhoto:
    """A photograph beside a later state: `earlier` says of which revision it is, if not of this."""

    photo: Photo
    earlier: int | None
    changed: tuple[str, ...]

    @property
    def picture(self) -> bytes | None:
        """The small grey one, as JPEG; None where its file is missing."""
        return grey(self.photo)

    @cached_property
    def on_paper(self) -> str:
        """The address of a small grey picture, which holds it; empty where its file is missing."""
        return for_paper(self.photo)

    @property
    def standing(self) -> str:
        """What is to be known before it is gone by; empty where it shows what is logged."""
        words = (
            f"photograph of an earlier version (revision {self.earlier})" if self.earlier else ""
        )
        changes = f"changed since: {', '.join(self.changed)}" if self.changed else ""
        return "; ".join(filter(None, (words, changes)))


def chain_photos(revision: Revision) -> list[ShownPhoto]:
    """Those in force for a revision. No query for one loaded `with_stages`."""
    return [_shown(photo, [revision]) for photo in revision.photos_in_force]


def setup_photos(photos: Iterable[Photo], revisions: Iterable[Revision]) -> list[ShownPhoto]:
    """Those that are of no single chain and show something of these revisions of the setup's."""
    revisions = list(revisions)
    whole = [photo for photo in photos if photo.revision_id is None]
    return [
        _shown(photo, revisions)
        for photo in whole
        if not photo.shown or photo.shown.keys() & facts_shown(photo, revisions).keys()
    ]


def facts_shown(photo: Photo, revisions: Iterable[Revision]) -> Facts:
    """What these revisions say of what is on it, as plain values."""
    return {key: facts for key, facts, _ in _on_record(photo, revisions)}


def _shown(photo: Photo, revisions: list[Revision]) -> ShownPhoto:
    earlier = photo.revision and photo.revision.number
    numbers = {revision.number for revision in revisions}
    changed = tuple(dict.fromkeys(_changes(photo, revisions)))
    return ShownPhoto(photo, None if earlier in numbers else earlier, changed)


def _changes(photo: Photo, revisions: list[Revision]) -> Iterator[str]:
    today = {key: (facts, words) for key, facts, words in _on_record(photo, revisions)}
    for key, then in photo.shown.items():
        if key not in today:
            continue
        now, words = today[key]
        yield from (words(name) for name, value in then.items() if now.get(name) != value)


def _on_record(photo: Photo, revisions: Iterable[Revision]) -> Iterator[tuple]:
    """A key, the facts, and what a fact is called."""
    for revision in revisions:
        if photo.subject == Subject.SOURCE:
            yield f"source-{revision.chain_id}", *_of_source(revision.source_facts)
        placement = getattr(revision, "placement", None)
        if placement and (photo.subject == Subject.PLACEMENT or _is_on_floor(photo, revision)):
            yield f"{revision.chain_id}", _placed(placement), _of_placement
        for stage in revision.stages.all():
            key = stage.photo_key
            if photo.subject == Subject.BAY:
                patched = _patched(stage, photo.bay_id)
                yield key, patched, lambda name, stage=stage: f"{stage.unit.asset_tag} {name}"
            elif _is_on(photo, stage):
                yield key, stage.settings, lambda key, stage=stage: _control(photo, stage, key)


def _of_source(source: SourceFacts) -> tuple[dict, Callable]:
    """What is said of it, and how its amplifier is set."""
    labels = {control["key"]: control["label"] for control in source.panel}
    said = {label: words for label, words in source.in_words if label != "also feeds"}
    return said | (source.settings or {}), lambda key: labels.get(key, key)


def _is_on(photo: Photo, stage: Stage) -> bool:
    if photo.subject == Subject.RACK:
        return rack_of(stage) == photo.about
    return photo.subject == Subject.SETUP or photo.shows(stage)


def _is_on_floor(photo: Photo, revision: Revision) -> bool:
    group = revision.chain.group
    return photo.subject == Subject.FLOOR and (photo.about == FLOOR or photo.about == str(group))


def rack_of(stage: Stage) -> str:
    """Where the unit is at home, without its slot; empty where it is in no rack."""
    unit = stage.unit
    return " · ".join(filter(None, (unit.home_room, unit.rack))) if unit.rack else ""


def _placed(placement: Placement) -> dict:
    facts = {name: getattr(placement, name) for name in Placement.FACTS}
    return {name: _plain(value) for name, value in facts.items() if value not in (None, "")}


def _plain(value):
    return float(value) if isinstance(value, Decimal) else value


def _of_placement(name: str) -> str:
    return Placement._meta.get_field(name).verbose_name.partition(",")[0]


def _patched(stage: Stage, bay: int) -> dict:
    points = {"patched in": stage.patch_in, "patched out": stage.patch_out}
    return {name: point.pk for name, point in points.items() if point and point.bay_id == bay}


def _control(photo: Photo, stage: Stage, key: str) -> str:
    labels = {control.key: control.label for control in stage.controls()}
    label = labels.get(key, key)
    return label if photo.subject == Subject.UNIT else f"{stage.unit.asset_tag} {label}"
