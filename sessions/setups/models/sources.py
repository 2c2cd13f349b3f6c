from collections.abc import Iterable
from dataclasses import asdict, dataclass, fields
from typing import Self

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse

from gear.audio.values import format_value
from gear.editing.versions import Versioned
from gear.equipment.models import Category, Unit
from gear.panels.models import Control, Panel
from sessions.clients.models import Person
from sessions.clients.visible import OfAProject
from sessions.setups.models.settings import PanelSettings
from sessions.setups.models.snapshot import UnitFacts


class SourceQuerySet(OfAProject):
    to_project = "setup__session__project"

    def for_list(self):
        """Sources with all that a page or sheet says of them, in a constant number of queries."""
        return self.select_related(
            "performer",
            "amplifier__model",
            "amplifier__supply__model",
            "panel",
            "played_from__source",
        ).prefetch_related("panel__controls", "chains")


class Source(PanelSettings, Versioned):
    """What is recorded: who plays what, how it is tuned, and the amplifier that it is heard through.

    One source may feed several chains: a direct box and a microphone, two microphones, a split.
    Its settings are those of the amplifier.
    """

    setup = models.ForeignKey("Setup", models.PROTECT, related_name="sources")
    name = models.CharField(max_length=80, help_text="Bass; drums, snare; lead vocal …")
    performer = models.ForeignKey(
        Person, models.PROTECT, null=True, blank=True, related_name="sources"
    )
    place = models.CharField(
        "place in the room",
        max_length=120,
        blank=True,
        help_text="Where the player stands or sits: booth, left of two at the microphone …",
    )
    instrument = models.CharField(
        max_length=80, blank=True, help_text="Which one, and whose: the house’s upright …"
    )
    tuning_hz = models.DecimalField(
        "tuned to A, Hz",
        max_digits=4,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(350), MaxValueValidator(520)],
        help_text="440, 442, 415 …",
    )
    tuning = models.CharField(
        max_length=80, blank=True, help_text="Drop D, half a tone down, capo 3 …"
    )
    amplifier = models.ForeignKey(
        Unit, models.PROTECT, null=True, blank=True, related_name="sources"
    )
    panel = models.ForeignKey(
        Panel, models.PROTECT, null=True, blank=True, editable=False, related_name="sources"
    )
    own_amplifier = models.CharField(
        "the player’s own amplifier",
        max_length=80,
        blank=True,
        help_text="One that is not in the gear list: what it is. Log its settings in the note.",
    )
    played_from = models.ForeignKey(
        "Chain",
        models.PROTECT,
        null=True,
        blank=True,
        related_name="played_into",
        verbose_name="re-amplified from",
        help_text="The chain whose track is played out into a box and the amplifier.",
    )
    note = models.TextField(
        blank=True, help_text="Heads, cymbals, strings, picks, the box before the amplifier …"
    )

    objects = SourceQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("setup", "name", name="source_name_once_a_setup"),
            models.CheckConstraint(
                condition=models.Q(amplifier=None) | models.Q(own_amplifier=""),
                name="source_has_one_amplifier",
            ),
        ]
        ordering = ["setup", "pk"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("setups:source", args=[self.pk])

    def clean(self):
        if self.amplifier and self.own_amplifier:
            raise ValidationError(
                {"own_amplifier": "A source has one amplifier: empty this, or the unit."}
            )
        if self.amplifier and self.amplifier.model.category != Category.AMPLIFIER:
            raise ValidationError({"amplifier": f"{self.amplifier} is no instrument amplifier."})
        if self.played_from and self.played_from.source_id == self.pk:
            raise ValidationError(
                {"played_from": "A source is not played back from a chain of its own."}
            )

    @property
    def is_bare(self) -> bool:
        """Whether nothing is said of it but its name."""
        return not any(getattr(self, name) for name in self.COPIED if name != "name")

    #: What a copy of it starts with. What it is re-amplified from is found anew where it stands.
    COPIED = (
        "name",
        "performer",
        "place",
        "instrument",
        "tuning_hz",
        "tuning",
        "amplifier",
        "panel",
        "settings",
        "not_yet_set",
        "own_amplifier",
        "played_from",
        "note",
    )


@dataclass(frozen=True)
class SourceFacts:
    """A source as a sheet prints it: as it was when a revision was fixed, or is today.

    also: the tracks of the other chains that take it. panel: the controls of the
    amplifier, in words and figures.
    """

    name: str
    performer: str = ""
    instrument: str = ""
    tuning_hz: float | None = None
    tuning: str = ""
    amplifier: UnitFacts | None = None
    own_amplifier: str = ""
    panel: tuple[dict, ...] = ()
    settings: dict | None = None
    not_yet_set: tuple[str, ...] = ()
    played_from: str = ""
    also: tuple[str, ...] = ()
    note: str = ""
    place: str = ""

    @classmethod
    def of(cls, source: Source, *, chain_id: int | None = None) -> Self:
        """By today's record, for one of its chains. Load it `for_list`."""
        panel, pitch = source.panel, source.tuning_hz
        others = [chain for chain in _chains_of(source) if chain.pk != chain_id]
        return cls(
            source.name,
            source.performer.name if source.performer else "",
            source.instrument,
            None if pitch is None else float(pitch),
            source.tuning,
            source.amplifier and UnitFacts.of(source.amplifier),
            source.own_amplifier,
            tuple(control.facts() for control in panel.controls.all()) if panel else (),
            dict(source.settings),
            tuple(source.not_yet_set),
            str(source.played_from) if source.played_from else "",
            tuple(chain.track for chain in others),
            source.note,
            source.place,
        )

    @classmethod
    def from_json(cls, data: dict) -> Self:
        amplifier = data.get("amplifier") and UnitFacts.from_json(data["amplifier"])
        lists = {name: tuple(data.get(name, ())) for name in ("panel", "not_yet_set", "also")}
        known = {field.name for field in fields(cls)}
        facts = {name: value for name, value in data.items() if name in known}
        return cls(**facts | lists | {"amplifier": amplifier})

    def to_json(self) -> dict:
        return asdict(self)

    #: No photograph stands for a control of an amplifier, as it may for one of a stage.
    photographed = frozenset()

    def setting(self, control: Control) -> float | None:
        return (self.settings or {}).get(control.key)

    def controls(self) -> list[Control]:
        """The amplifier's, in the order of its panel; not saved."""
        return [Control(**facts) for facts in self.panel]

    @property
    def tuned(self) -> str:
        """A = 442 Hz, drop D, capo 2."""
        pitch = self.tuning_hz and f"A = {format_value(self.tuning_hz, 'Hz')}"
        return ", ".join(filter(None, (pitch, self.tuning)))

    @property
    def amplified_by(self) -> str:
        return str(self.amplifier) if self.amplifier else self.own_amplifier

    @property
    def in_words(self) -> list[tuple[str, str]]:
        """What is known of it but its name, by a label each."""
        said = (
            ("performer", self.performer),
            ("place", self.place),
            ("instrument", self.instrument),
            ("tuning", self.tuned),
            ("amplifier", self.amplified_by),
            ("re-amplified from", self.played_from),
            ("also feeds", ", ".join(self.also)),
            ("note", self.note),
        )
        return [(label, words) for label, words in said if words]


def _chains_of(source: Source) -> Iterable:
    return source.chains.all() if source.pk else ()
