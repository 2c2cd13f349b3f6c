"""What a project’s order says, as fields of its form."""

from django import forms

from sessions.clients.models import BitDepth, Project, SampleRate
from sessions.clients.orders import Container, DeliverableKind, rules_for

AS_RECORDED = [("", "As it is recorded")]


class OrderFields(forms.Form):
    """Fields of `orders.Order`, by its names."""

    for_each_song = forms.MultipleChoiceField(
        label="To be delivered for each song",
        required=False,
        choices=DeliverableKind.choices,
        widget=forms.CheckboxSelectMultiple,
        help_text="As ordered. Song and session report list what is still to deliver.",
    )
    containers = forms.MultipleChoiceField(
        label="Delivered as",
        required=False,
        choices=Container.choices,
        widget=forms.CheckboxSelectMultiple,
        help_text="Where none is chosen, WAV and AIFF are expected (common practice).",
    )
    delivered_rate = forms.TypedChoiceField(
        label="Delivered sample rate",
        required=False,
        coerce=int,
        empty_value=None,
        choices=AS_RECORDED + SampleRate.choices,
    )
    delivered_depth = forms.TypedChoiceField(
        label="Delivered bit depth",
        required=False,
        coerce=int,
        empty_value=None,
        choices=AS_RECORDED + BitDepth.choices,
    )
    true_peak_ceiling_dbtp = forms.FloatField(
        label="True-peak ceiling, dBTP",
        required=False,
        min_value=-20,
        max_value=6,
        widget=forms.NumberInput(attrs={"step": "0.1"}),
        help_text="Of mixes and stems, as agreed; −1.0 dBTP is the most in EBU R 128. Music has no such rule.",
    )
    stems = forms.CharField(
        label="Stems",
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="One name a line: Rhythm, Brass, Lead vocal. A file is looked for by each name.",
    )
    each_part = forms.BooleanField(
        label="The multitrack has a file for every part that was recorded", required=False
    )
    same_length = forms.BooleanField(
        label="Stems and multitrack begin together and are of one length", required=False
    )
    time_stamps = forms.BooleanField(
        label="Stems and multitrack have a time stamp (BWF)", required=False
    )

    def rules(self) -> dict:
        """As `Project.delivery_rules` keeps them."""
        typed = {name: self.cleaned_data[name] for name in OrderFields.base_fields}
        return rules_for(
            typed.pop("for_each_song"),
            sample_rate=typed.pop("delivered_rate"),
            bit_depth=typed.pop("delivered_depth"),
            **typed,
        )

    def clean_stems(self) -> list[str]:
        lines = [" ".join(line.split()) for line in self.cleaned_data["stems"].splitlines()]
        return list(dict.fromkeys(line for line in lines if line))


def as_typed(project: Project) -> dict:
    """What stands in the fields for the project’s order."""
    order = project.order
    return {
        **{name: getattr(order, name, None) for name in OrderFields.base_fields},
        "for_each_song": order.kinds,
        "containers": list(order.containers),
        "delivered_rate": order.sample_rate,
        "delivered_depth": order.bit_depth,
        "stems": "\n".join(order.stems),
    }
