from dataclasses import dataclass

from django import forms
from django.db import transaction
from django.db.models import Q

from gear.audio.delay import BUFFER_SIZES, WORKABLE_MS
from gear.editing.figures import FigureField
from gear.editing.names import named_once
from gear.equipment.models import Category, Unit
from sessions.clients.models import Person
from sessions.setups.headphones.models import HeadphoneLine, HeadphoneMix
from sessions.songs.models import Part

#: Sources that are no chain: as many as fit on the page, the usual ones named as examples.
USUAL_SOURCES = ("Click", "Playback", "Reverb", "Talkback", "", "")


@dataclass(frozen=True)
class Row:
    """The fields of one line; `heard` is the chain's source, where it is a chain."""

    heard: str
    source: forms.BoundField | None
    level: forms.BoundField
    pan: forms.BoundField

    @property
    def fields(self) -> list[forms.BoundField]:
        return [each for each in (self.source, self.level, self.pan) if each]


class HeadphoneMixForm(forms.ModelForm):
    """A mix with a line for every chain of its setup, and lines for whatever else is heard.

    A line without a level is not in the mix.
    """

    class Meta:
        model = HeadphoneMix
        fields = ["name", "listeners", "box", "output", "level_dba", "minutes_a_day", "note"]
        widgets = {
            "listeners": forms.CheckboxSelectMultiple,
            "note": forms.Textarea(attrs={"rows": 3}),
        }
        help_texts = {
            "level_dba": "Measured or judged: with the minutes it is compared with "
            "published limits of exposure.",
        }

    units = {"level_dba": "dB(A)", "minutes_a_day": "min"}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        mix = self.instance
        self.fields["listeners"].queryset = people_about(mix)
        self.fields["box"].queryset = _boxes(mix)
        self.chains = list(mix.setup.chains.all())
        lines = list(mix.lines.all()) if mix.pk else []
        of_chain = {line.chain_id: line for line in lines if line.chain_id}
        others = [line for line in lines if not line.chain_id]
        for chain in self.chains:
            self._add_line(f"chain{chain.pk}", chain.source.name, of_chain.get(chain.pk))
        for number, usual in enumerate(USUAL_SOURCES):
            line = others[number] if number < len(others) else None
            self._add_source(f"other{number}", usual, line)
            self._add_line(f"other{number}", f"Source {number + 1}", line)

    def _add_line(self, key: str, heard: str, line: HeadphoneLine | None) -> None:
        for name, length in (("level", 40), ("pan", 40)):
            self.fields[f"{key}-{name}"] = forms.CharField(
                label=f"{heard}, {name}",
                required=False,
                max_length=length,
                initial=getattr(line, name, ""),
                widget=forms.TextInput(attrs={"aria-label": f"{heard}, {name}"}),
            )

    def _add_source(self, key: str, usual: str, line: HeadphoneLine | None) -> None:
        self.fields[f"{key}-source"] = forms.CharField(
            label="Source",
            required=False,
            max_length=60,
            initial=line.source if line else "",
            widget=forms.TextInput(
                attrs={"placeholder": usual, "aria-label": f"Source {key.removeprefix('other')}"}
            ),
        )

    def mix_fields(self) -> list[forms.BoundField]:
        return [self[name] for name in self._meta.fields]

    def rows(self) -> list[Row]:
        of_chains = [
            Row(
                chain.source.name,
                None,
                self[f"chain{chain.pk}-level"],
                self[f"chain{chain.pk}-pan"],
            )
            for chain in self.chains
        ]
        return of_chains + [
            Row("", self[f"other{n}-source"], self[f"other{n}-level"], self[f"other{n}-pan"])
            for n in range(len(USUAL_SOURCES))
        ]

    def clean_name(self):
        setup = self.instance.setup
        return named_once(self, "name", among=setup.headphone_mixes, of=setup)

    def clean(self):
        facts = super().clean()
        named = set()
        for key in [f"other{number}" for number in range(len(USUAL_SOURCES))]:
            source, level = facts.get(f"{key}-source"), facts.get(f"{key}-level")
            if source and source in named:
                self.add_error(f"{key}-source", f"{source} is in a line above already.")
            named.add(source)
            if source and not level:
                self.add_error(
                    f"{key}-level", f"Enter how loud {source} is: 0 dB, low, just there …"
                )
            if level and not source:
                self.add_error(f"{key}-source", "Enter the source of that level.")
        for chain in self.chains:
            if facts.get(f"chain{chain.pk}-pan") and not facts.get(f"chain{chain.pk}-level"):
                self.add_error(f"chain{chain.pk}-level", f"Enter how loud {chain.source} is.")
        return facts

    @transaction.atomic
    def save(self, commit=True):
        """Its entry in the history is made even where only lines change: two editors notice by it."""
        mix = super().save(commit)
        wanted = self._lines()
        kept = {(line.chain_id, line.source): line for line in mix.lines.all()}
        for line in kept.values():
            if (line.chain_id, line.source) not in [(each[0], each[1]) for each in wanted]:
                line.delete()
        for position, (chain, source, level, pan) in enumerate(wanted, start=1):
            line = kept.get((chain, source)) or HeadphoneLine(mix=mix)
            facts = {
                "position": position,
                "chain_id": chain,
                "source": source,
                "level": level,
                "pan": pan,
            }
            if line.pk is None or any(getattr(line, name) != facts[name] for name in facts):
                for name, value in facts.items():
                    setattr(line, name, value)
                line.save()
        return mix

    def _lines(self) -> list[tuple[int | None, str, str, str]]:
        """Chain, source, level and pan of each line that has a level; a source once."""
        facts = self.cleaned_data
        found = {
            (chain.pk, ""): (facts[f"chain{chain.pk}-level"], facts[f"chain{chain.pk}-pan"])
            for chain in self.chains
        }
        for number in range(len(USUAL_SOURCES)):
            key = f"other{number}"
            found[None, facts[f"{key}-source"]] = facts[f"{key}-level"], facts[f"{key}-pan"]
        return [(*key, level, pan) for key, (level, pan) in found.items() if level]


def people_about(mix: HeadphoneMix):
    """Those who have to do with the session or its project, and those who are chosen already."""
    session = mix.setup.session
    parts = Part.objects.filter(song__project=session.project_id)
    about = (
        Q(pk__in=session.credits.values("person"))
        | Q(pk__in=session.reservations.values("person"))
        | Q(pk__in=parts.values("performer"))
        | Q(client=session.project.client_id)
    )
    chosen = Q(pk__in=mix.listeners.values("pk")) if mix.pk else Q(pk__in=[])
    return Person.objects.filter((about & Q(retired=False)) | chosen).order_by("name", "pk")


def _boxes(mix: HeadphoneMix):
    boxes = Q(model__category=Category.HEADPHONES) & Q(pk__in=Unit.objects.in_service())
    return Unit.objects.filter(boxes | Q(pk=mix.box_id)).for_list()


class LimitForm(forms.Form):
    """The delay in the headphones that a performer is to have at most."""

    limit_ms = FigureField(
        unit="ms",
        label="At most",
        initial=WORKABLE_MS,
        min_value=0,
        max_value=1000,
        max_digits=6,
        decimal_places=2,
        help_text="From microphone to headphone.",
        error_messages={
            "invalid": "Write a delay in ms, such as 10.",
            "min_value": "A delay is 0 ms or more.",
        },
    )

    units = {"limit_ms": "ms"}


class BufferForm(forms.Form):
    """Which of the buffers is to be used, and the setup as its presser saw it."""

    samples = forms.TypedChoiceField(choices=[(size, size) for size in BUFFER_SIZES], coerce=int)
    seen = forms.IntegerField()
