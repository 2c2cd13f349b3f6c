from gear.audio.patterns import is_unknown_pattern
from gear.editing.units import UnitsForm
from sessions.setups.chains.fields import SeenField
from sessions.setups.models import Placement
from sessions.setups.placement.facts import NOT_KNOWN
from sessions.setups.placement.fields import PatternField


class PlacementForm(UnitsForm):
    seen = SeenField()

    class Meta:
        model = Placement
        fields = Placement.FACTS

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        was, before = self.fields["pattern"], self.instance.pattern
        self.fields["pattern"] = PatternField(
            before=before,
            required=False,
            max_length=was.max_length,
            label=was.label,
            help_text=NOT_KNOWN if is_unknown_pattern(before) else was.help_text,
        )

    def clean(self):
        facts = super().clean()
        if facts.get("pop_filter_cm") is not None:
            facts["pop_filter"] = True
        return facts

    def facts(self) -> dict:
        """What is to be written down."""
        return {name: value for name, value in self.cleaned_data.items() if name != "seen"}
