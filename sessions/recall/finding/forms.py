from django import forms


class FindForm(forms.Form):
    """Whatever somebody remembers."""

    q = forms.CharField(
        label="Words, names, numbers, months",
        required=False,
        max_length=120,
        widget=forms.TextInput(attrs={"type": "search", "autocomplete": "off"}),
    )
