from django import forms

from gear.asked import whole_number
from gear.equipment.models import Category, Unit
from sessions.bookings.models import RecordingSession
from sessions.clients.models import Person
from sessions.setups.chains.availability import choices_for
from sessions.setups.chains.sure import SureForm
from sessions.setups.models import Chain, Setup
from sessions.setups.swapping.harm import (
    asks_before_setting_up,
    asks_before_swap,
    in_session_of,
)
from sessions.songs.models import Part, Song
from sessions.songs.parts import PartLine, part_lines, to_record

STAY = "stay"


class NextPartForm(SureForm):
    """Which part comes next, who performs it, and whether the chain stays, is another of the session's,
    or a copy with another microphone. `part` is sent with the version that was seen: 12.3."""

    part = forms.CharField(widget=forms.RadioSelect)
    performer = forms.ModelChoiceField(
        Person.objects.none(), required=False, empty_label="as planned"
    )
    chain = forms.ChoiceField(widget=forms.RadioSelect, initial=STAY)
    microphone = forms.ModelChoiceField(
        Unit.objects.none(), required=False, empty_label="the chain’s own"
    )

    def __init__(
        self, *args, session: RecordingSession, song: Song, setup: Setup | None, parts, **kwargs
    ):
        super().__init__(*args, **kwargs)
        self.session, self.setup = session, setup
        self.lines = part_lines(song.parts.with_state())
        self.fields["part"].widget.choices = [(line.key, str(line.part)) for line in self.lines]
        self.fields["performer"].queryset = Person.objects.current_or(None).order_by("name")
        self.chains = list(
            Chain.objects.filter(setup__session=session, setup__struck_at=None)
            .select_related("setup", "group", "source__performer")
            .prefetch_related("parts__song")
        )
        self.staying = [chain for chain in self.chains if self._stays(chain, parts)]
        self.others = [chain for chain in self.chains if self.staying != [chain]]
        self.fields["chain"].choices = [
            (STAY, "stay"),
            *((chain.pk, str(chain)) for chain in self.others),
        ]
        offered = [
            choice
            for choice in choices_for(session, {}).offered
            if choice.unit.model.category == Category.MICROPHONE
        ]
        self.fields["microphone"].queryset = Unit.objects.select_related(
            "model", "supply__model"
        ).filter(pk__in=[choice.unit.pk for choice in offered])
        self.fields["microphone"].choices = [
            ("", self.fields["microphone"].empty_label),
            *((choice.unit.pk, f"{choice.unit}, {choice.note}") for choice in offered),
        ]

    def _stays(self, chain: Chain, parts) -> bool:
        """What the part before is recorded through, and is its own: room microphones stay anyhow."""
        carried = chain.parts.all()
        return chain.is_up and chain.setup == self.setup and any(part in carried for part in parts)

    @property
    def to_record(self) -> list[PartLine]:
        return to_record(self.lines)

    @property
    def recorded(self) -> list[PartLine]:
        return [line for line in self.lines if not line.is_to_record]

    @property
    def is_to_record(self) -> bool:
        """Whether the part that is chosen is not recorded yet."""
        return self["part"].value() in [line.key for line in self.to_record]

    def first_to_record(self, after: list[Part]) -> str:
        """The part that is likely meant: the first that is not recorded, but for those of now; else the
        song's first."""
        return next((line.key for line in self.to_record if line.part not in after), self._first)

    @property
    def _first(self) -> str:
        return self.lines[0].key if self.lines else ""

    def clean_part(self):
        key, _, version = self.cleaned_data["part"].partition(".")
        part = next((line.part for line in self.lines if str(line.part.pk) == key), None)
        if part is None:
            raise forms.ValidationError("Choose a part of the song.")
        return part, whole_number(version) or 0

    def clean(self):
        facts = super().clean()
        if "chain" not in facts:
            return facts
        chosen = facts["chain"]
        others = [chain for chain in self.chains if str(chain.pk) == chosen]
        facts["chains"] = chains = self.staying if chosen == STAY else others
        microphone = facts.get("microphone")
        if microphone and len(chains) != 1:
            self.add_error("chain", "Choose the one chain that gets another microphone.")
        elif microphone or any(chain.struck_at for chain in chains):
            self._ask(chains, microphone)
        return facts

    def _ask(self, chains: list[Chain], microphone: Unit | None) -> None:
        if self.session.takes.rolling().exists():
            self.add_error(None, "A take is rolling: end it before anything is plugged in.")
            return
        in_session = in_session_of(chains[0])
        if microphone is None:
            struck = (chain for chain in chains if chain.struck_at)
            self.ask([ask for chain in struck for ask in asks_before_setting_up(chain, in_session)])
            return
        revision = next(each for each in in_session if each.chain_id == chains[0].pk)
        for stage in revision.stages.all():
            if stage.unit.model.category == Category.MICROPHONE:
                self.ask(asks_before_swap(stage, microphone, in_session))
                return
