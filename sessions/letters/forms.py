from django import forms


class ToldForm(forms.Form):
    """How somebody was told whose letter failed."""

    how = forms.CharField(
        label="How they were told",
        max_length=120,
        help_text="By telephone, in person …",
    )
