from django import forms

from gear.editing.names import named_once
from gear.editing.units import UnitsForm
from sessions.setups.models import Arrangement, Chain, ChainGroup, Seat

#: The seats of a pair, the first and the second of its chains.
SEATS = {Arrangement.MID_SIDE: (Seat.MID, Seat.SIDE)}
LEFT_RIGHT = (Seat.LEFT, Seat.RIGHT)


class ChainGroupForm(UnitsForm):
    """A pair or a group, and the chains that belong to it."""

    chains = forms.ModelMultipleChoiceField(
        Chain.objects.none(),
        label="Chains",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="Of a pair two: the first is left, or mid.",
    )
    swapped = forms.BooleanField(
        label="The other way round",
        required=False,
        help_text="Of a pair: the first is right, or side.",
    )

    class Meta:
        model = ChainGroup
        fields = ["name", "arrangement", "spacing_cm", "included_angle_deg", "is_matched", "note"]
        widgets = {"note": forms.Textarea(attrs={"rows": 2})}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["chains"].queryset = self.instance.setup.chains.order_by("position", "pk")
        if self.instance.pk:
            chains = self.instance.chains.order_by("position", "pk").values_list("pk", "seat")
            self.initial["chains"] = [key for key, _ in chains]
            self.initial["swapped"] = [seat for _, seat in chains][:1] in (
                [Seat.RIGHT],
                [Seat.SIDE],
            )
        self.order_fields(["name", "arrangement", "chains", "swapped"])

    def clean_name(self):
        setup = self.instance.setup
        return named_once(self, "name", among=setup.groups, of=setup)

    def clean(self):
        facts = super().clean()
        chains = facts.get("chains")
        is_pair = facts.get("arrangement") != Arrangement.GROUP
        if chains is not None and is_pair and len(chains) != 2:
            self.add_error("chains", "A pair has two chains: choose two.")
        for name, low, high in (("spacing_cm", 0, 9999), ("included_angle_deg", 0, 180)):
            figure = facts.get(name)
            if figure is not None and not low <= figure <= high:
                self.add_error(name, f"This lies between {low} and {high}.")
        return facts

    def save(self, commit=True):
        """Its chains know it, and of a pair which of the two they are."""
        group = super().save(commit)
        chosen = list(self.cleaned_data["chains"])
        seats = SEATS.get(group.arrangement, LEFT_RIGHT) if group.is_pair else ()
        seats = seats[::-1] if self.cleaned_data["swapped"] else seats
        for chain in group.chains.exclude(pk__in=[chain.pk for chain in chosen]):
            chain.group, chain.seat = None, ""
            chain.save()
        for number, chain in enumerate(chosen):
            seat = seats[number] if group.is_pair else chain.seat
            if (chain.group_id, chain.seat) != (group.pk, seat):
                chain.group, chain.seat = group, seat
                chain.save()
        return group
