from django import forms

from gear.audio.delay import WORKABLE_MS


class LimitForm(forms.Form):
    """The delay in the headphones that a performer is to have at most."""

    limit_ms = forms.DecimalField(
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
