import math
from collections.abc import Iterable
from decimal import Decimal

from django import forms
from django.template.defaultfilters import filesizeformat

from gear.audio.level_text import level_text
from gear.audio.proving.three_tones.tone import Tone
from gear.editing.figures import FigureField
from sessions.clients.models import SampleRate
from sessions.recall.proving.actions import ceiling_dbfs
from sessions.recall.proving.cautions import Caution
from sessions.recall.proving.feeding import PAD_DB, Feed, Limit, usual_pad_db
from sessions.recall.proving.models import Measurement
from sessions.recall.proving.three_tones import hertz_name
from sessions.setups.levels.forms import LevelField

#: A minute of sound as uncompressed as it is recorded: one channel of 32 bit at 192 kHz.
LARGEST_RETURN = 63 << 20
#: Below this the steps of the file and the noise of the converter are no longer far apart. Ours, no source.
SOFTEST_DBFS = -50
#: What converters are aligned to.
FULL_SCALE_DBU = (0, 30)


class CautionsForm(forms.Form):
    """Each caution with a tick that is required: no file is offered before."""

    def __init__(self, *args, cautions: Iterable[Caution], **kwargs):
        super().__init__(*args, **kwargs)
        self.cautions = list(cautions)
        for caution in self.cautions:
            self.fields[caution.key] = forms.BooleanField(
                label=caution.title,
                error_messages={"required": "See to this first, then tick it."},
            )

    def confirmed(self) -> list[tuple[Caution, forms.BoundField]]:
        """What is ticked, with what the record says beside it."""
        return [(caution, self[caution.key]) for caution in self.cautions]


class CableField(forms.ModelChoiceField):
    def label_from_instance(self, cable: Measurement) -> str:
        return f"{cable.measured_at:%d %b %Y, %H:%M} by {cable.measured_by}"


def level_problem(
    *, fed_dbu, pad_db, full_scale_dbu, limit: Limit | None, softest_dbfs: float = SOFTEST_DBFS
) -> tuple[str, str] | None:
    """What is wrong with a file of that level behind that pad: at which field, and in words."""
    ceiling = ceiling_dbfs(fed_dbu=fed_dbu, pad_db=pad_db, full_scale_dbu=full_scale_dbu)
    if limit and fed_dbu > limit.dbu:
        return (
            "fed_dbu",
            f"By the logged gains {limit.what} clips at {level_text(limit.dbu)} here: enter less.",
        )
    if ceiling > 0:
        most = level_text(float(full_scale_dbu) - float(pad_db))
        return (
            "pad_db",
            f"Behind this pad the output gives no more than {most}: use less of a pad, or a lower level.",
        )
    if ceiling < softest_dbfs:
        return (
            "pad_db",
            f"The file would be at {ceiling:.0f} dBFS, too close to the converter’s noise: use more of a "
            "pad.".replace("-", "−"),
        )
    return None


class PlayedForm(CautionsForm):
    """What a file is played through before it reaches what is measured, and the cautions."""

    pad_db = FigureField(
        unit="dB",
        label="Pad, dB",
        min_value=PAD_DB[0],
        max_value=PAD_DB[1],
        max_digits=4,
        decimal_places=1,
        help_text="Passive, between the output and that input. 0: none.",
    )
    cable = CableField(
        Measurement.objects.none(),
        required=False,
        label="Cable measured",
        empty_label="None",
        help_text="What it shows of the converters is taken off.",
    )

    def __init__(self, *args, cables, **kwargs):
        """cables: those whose gain and latency may be taken off."""
        super().__init__(*args, **kwargs)
        self.fields["cable"].queryset = cables


class FeedForm(PlayedForm):
    """How the file is fed into a chain, and the cautions."""

    level_label = "Loudest where it is fed in"
    level_help = "Of the file: a sine that loud clips nowhere."
    softest_dbfs = SOFTEST_DBFS

    def __init__(self, *args, feed: Feed, proposed_dbu: float | None = None, **kwargs):
        """proposed_dbu: where it isn't as loud as may be."""
        super().__init__(*args, **kwargs)
        self.feed = feed
        proposed_dbu = feed.loudest_dbu if proposed_dbu is None else proposed_dbu
        self.fields["fed_dbu"] = LevelField(
            full_scale_dbu=feed.full_scale_dbu,
            label=self.level_label,
            help_text=self.level_help,
        )
        self.fields["fed_dbu"].required = True
        self.order_fields(["fed_dbu", "pad_db", "cable"])
        if proposed_dbu is not None:
            self.initial.setdefault("fed_dbu", Decimal(str(proposed_dbu)))
            self.initial.setdefault("pad_db", usual_pad_db(proposed_dbu, feed.full_scale_dbu))

    def clean(self):
        facts = super().clean()
        fed, pad = facts.get("fed_dbu"), facts.get("pad_db")
        if fed is None or pad is None:
            return facts
        problem = level_problem(
            fed_dbu=fed,
            pad_db=pad,
            full_scale_dbu=self.feed.full_scale_dbu,
            limit=self.feed.limit,
            softest_dbfs=self.softest_dbfs,
        )
        if problem:
            self.add_error(*problem)
        return facts

    @property
    def fed(self) -> Decimal | None:
        """As it was typed, where that is right, else as it is proposed."""
        return getattr(self, "cleaned_data", {}).get("fed_dbu", self.initial.get("fed_dbu"))

    @property
    def pad(self) -> Decimal | None:
        return getattr(self, "cleaned_data", {}).get("pad_db", self.initial.get("pad_db"))

    def feed_fields(self) -> list[forms.BoundField]:
        return [self["fed_dbu"], self["pad_db"], self["cable"]]


class TonesForm(FeedForm):
    """The same for three tones. They may come from a generator as well, which needs no pad, so that the file
    may be too soft."""

    level_label = "Level where they are fed in"
    level_help = "The same for all three."
    softest_dbfs = -math.inf


class CableForm(CautionsForm):
    """A cable in place of a chain: at which rate, and how the converters are aligned."""

    rate_hz = forms.TypedChoiceField(label="Sample rate", coerce=int, choices=SampleRate)
    full_scale_dbu = FigureField(
        unit="dBu",
        label="Level of 0 dBFS, dBu",
        min_value=FULL_SCALE_DBU[0],
        max_value=FULL_SCALE_DBU[1],
        max_digits=4,
        decimal_places=1,
    )

    field_order = ["rate_hz", "full_scale_dbu"]

    def cable_fields(self) -> list[forms.BoundField]:
        return [self["rate_hz"], self["full_scale_dbu"]]


class ReadingsForm(forms.Form):
    """What a meter reads of the three tones, each in whatever unit it has."""

    def __init__(self, *args, measurement: Measurement, **kwargs):
        super().__init__(*args, **kwargs)
        self.tones = measurement.tones_read
        for tone in self.tones:
            self.fields[_name(tone)] = LevelField(
                full_scale_dbu=measurement.full_scale_dbu, label=hertz_name(tone.hertz)
            )

    def clean(self):
        facts = super().clean()
        if not self.errors and all(facts.get(_name(tone)) is None for tone in self.tones):
            self.add_error(None, "Type what the meter reads of one tone at least.")
        return facts

    def readings(self) -> dict[float, float]:
        """In dBu by frequency, without what was left out."""
        typed = ((tone.hertz, self.cleaned_data[_name(tone)]) for tone in self.tones)
        return {hertz: float(dbu) for hertz, dbu in typed if dbu is not None}


def _name(tone: Tone) -> str:
    return f"at_{tone.hertz:g}_hz".replace(".", "_")


class ReturnForm(forms.Form):
    """The recording that came back."""

    recording = forms.FileField(
        label="Recording of the return",
        widget=forms.FileInput(attrs={"accept": ".wav,.w64,.aif,.aiff,.caf,.flac"}),
        help_text="WAV, AIFF or FLAC at the file’s sample rate, the return as one channel, not "
        f"normalised, up to {filesizeformat(LARGEST_RETURN)}.",
        error_messages={
            "required": "Choose the recording.",
            "empty": "The recording is empty: export it again.",
        },
    )
    keep = forms.BooleanField(
        required=False,
        label="Keep the recording, too",
        help_text="Else it goes once it is read: its figures stay.",
    )

    def clean_recording(self):
        recording = self.cleaned_data["recording"]
        if recording.size > LARGEST_RETURN:
            raise forms.ValidationError(
                f"The recording is larger than {filesizeformat(LARGEST_RETURN)}: trim it to the return "
                "of the test file, one channel, or export FLAC."
            )
        return recording
