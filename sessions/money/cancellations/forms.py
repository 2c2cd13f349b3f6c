from django import forms

from gear.editing.figures import FigureField
from gear.editing.units import NOT_A_NUMBER
from sessions.money.drafting import PaperRefused


class ChargeForm(forms.Form):
    """Another charge for a cancellation than the terms give."""

    net = FigureField(
        unit="",
        label="Charge before tax",
        min_value=0,
        max_digits=10,
        decimal_places=2,
        help_text="0 where you charge nothing.",
        error_messages={
            "invalid": NOT_A_NUMBER,
            "min_value": "This cannot be below 0.",
            "max_decimal_places": "Enter at most two decimal places, such as 45.50.",
        },
    )
    why = forms.CharField(
        label="Reason",
        max_length=200,
        help_text="On the paper, which the client may see.",
    )

    def __init__(self, *args, currency: str, **kwargs):
        super().__init__(*args, **kwargs)
        self.units = {"net": currency}

    def refuse(self, refusal: PaperRefused) -> None:
        self.add_error("net", refusal)
