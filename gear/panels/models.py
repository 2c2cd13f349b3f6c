from django.db import models

from gear.audio.dial import DETENTED, Dial, Mark
from gear.audio.marks import marks_to_text
from gear.audio.values import setting_text
from gear.editing.history import History


class Panel(models.Model):
    """One version of a model's control layout.

    A panel that a fixed revision uses can't change: `fixed_at` is set then, the database refuses
    edits from there on, and editing makes the next version, so that old sheets print as they were.
    """

    model = models.ForeignKey("gear.GearModel", models.PROTECT, related_name="panels")
    version = models.PositiveSmallIntegerField(default=1)
    fixed_at = models.DateTimeField(null=True, blank=True, editable=False)
    note = models.TextField(blank=True)
    history = History()

    class Meta:
        constraints = [
            models.UniqueConstraint("model", "version", name="panel_version_once"),
        ]
        ordering = ["model", "version"]

    def __str__(self) -> str:
        """Reads self.model; if not loaded, this causes a SQL query."""
        return f"{self.model}, panel {self.version}"

    @property
    def is_fixed(self) -> bool:
        return self.fixed_at is not None


class Kind(models.TextChoices):
    CONTINUOUS = "continuous", "Knob, continuous"
    STEPPED = "stepped", "Knob, stepped"
    SWITCH = "switch", "Switch"
    SLIDER = "slider", "Slider"
    READING = "reading", "Meter reading"


class Scale(models.TextChoices):
    LINEAR = "linear", "Linear"
    LOG = "log", "Logarithmic"


class Meaning(models.TextChoices):
    """What a control does to the signal; lets the arithmetic read a panel it has never seen."""

    GAIN = "gain", "Gain"
    PAD = "pad", "Pad"
    PHANTOM = "phantom", "Phantom power"
    POLARITY = "polarity", "Polarity"
    SPLIT_OUTPUT = "split_output", "Output of a splitter: 0 is direct"
    PATTERN = "pattern", "Pattern"
    FILTER_FREQUENCY = "filter_frequency", "Filter frequency"
    BAND_FREQUENCY = "band_frequency", "Band frequency"
    BAND_GAIN = "band_gain", "Band gain"
    BAND_Q = "band_q", "Band Q"
    BAND_SHAPE = "band_shape", "Band shape"
    THRESHOLD = "threshold", "Threshold"
    RATIO = "ratio", "Ratio"
    ATTACK = "attack", "Attack"
    RELEASE = "release", "Release"
    KNEE = "knee", "Knee"
    MAKE_UP = "make_up", "Make-up gain"
    GAIN_REDUCTION = "gain_reduction", "Gain reduction"
    OUTPUT = "output", "Output level"
    BYPASS = "bypass", "Bypass"
    POWER = "power", "Power"
    LEVEL_READING = "level_reading", "Level reading"
    OTHER = "other", "Other"


class Control(models.Model):
    """A knob, switch, slider or meter on a panel, with the marks engraved around it.

    `marks` is a list of `{"value": number, "angle": number, "label": text}` in order of travel:
    degrees clockwise from straight up for knobs, per cent of travel for sliders. A setting of the
    control is always a number on this scale; a switch's positions are the values of its marks.
    """

    panel = models.ForeignKey(Panel, models.CASCADE, related_name="controls")
    position = models.PositiveSmallIntegerField()
    key = models.SlugField(max_length=40)
    label = models.CharField(max_length=40)
    group = models.CharField(max_length=40, blank=True)
    kind = models.CharField(max_length=12, choices=Kind)
    scale = models.CharField(max_length=6, choices=Scale, default=Scale.LINEAR)
    unit = models.CharField(max_length=10, blank=True, help_text="dB, Hz, ms, :1 and the like.")
    marks = models.JSONField(default=list)
    meaning = models.CharField(max_length=20, choices=Meaning, default=Meaning.OTHER)
    band = models.PositiveSmallIntegerField(null=True, blank=True)
    serves_all = models.BooleanField(
        "serves all channels",
        default=False,
        help_text="One for the whole unit, such as a stereo link or a meter selector.",
    )
    tolerance_degrees = models.DecimalField(max_digits=4, decimal_places=1, default=5)
    history = History()

    class Meta:
        constraints = [
            models.UniqueConstraint("panel", "key", name="control_key_once"),
            models.UniqueConstraint("panel", "position", name="control_position_once"),
        ]
        ordering = ["panel", "position"]

    def __str__(self) -> str:
        return self.label

    @property
    def is_meter(self) -> bool:
        """It is read, and nothing can be set."""
        return self.kind == Kind.READING

    def dial(self) -> Dial:
        """The engraved marks as the arithmetic takes them. Raises ValueError when they make none."""
        marks = tuple(
            Mark(mark["value"], mark["angle"], mark.get("label", "")) for mark in self.marks
        )
        return Dial(marks, self.kind, self.scale)

    def facts(self) -> dict:
        """All that describes the control apart from its panel and its place on it."""
        names = ["key", "label", "group", "kind", "scale", "unit", "marks", "meaning", "band"]
        return {
            **{name: getattr(self, name) for name in [*names, "serves_all"]},
            "tolerance_degrees": float(self.tolerance_degrees),
        }

    def marks_text(self) -> str:
        """The marks as they are typed."""
        return marks_to_text(self.dial().marks, self.kind, self.unit)

    def range_text(self) -> str:
        """From where to where it goes, or the positions it has: 0 dB to 60 dB; out, in."""
        dial = self.dial()
        said = [setting_text(mark.value, dial, self.unit) for mark in dial.marks]
        if dial.kind in DETENTED:
            return ", ".join(said)
        return f"{said[0]} to {said[-1]}" if said else self.unit
