from gear.editing.units import UnitsForm
from sessions.setups.chains.fields import SeenField
from sessions.setups.models import Placement


class PlacementForm(UnitsForm):
    seen = SeenField()

    class Meta:
        model = Placement
        fields = Placement.FACTS

    def clean(self):
        facts = super().clean()
        if facts.get("pop_filter_cm") is not None:
            facts["pop_filter"] = True
        return facts

    def facts(self) -> dict:
        """What is to be written down."""
        return {name: value for name, value in self.cleaned_data.items() if name != "seen"}
