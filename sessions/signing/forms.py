from django import forms

from sessions.signing.statement import Statement
from sessions.signing.strokes import NotDrawn, lines_of

READ_AGAIN = (
    "What is to be signed was changed while this page was open. Nothing was signed: read it again, "
    "then sign."
)


class StrokesField(forms.CharField):
    """The lines of the pad, as the page's script writes them; nothing where there is no script."""

    widget = forms.HiddenInput

    def to_python(self, value):
        try:
            return lines_of(super().to_python(value))
        except NotDrawn as refusal:
            raise forms.ValidationError(str(refusal)) from refusal


class SignatureForm(forms.Form):
    """A name and a drawn signature, or the name alone; a page's own form may have more fields.

    It goes with `sessions/signing/_statement.html`, which says what is signed, and `_pad.html`; once
    it is valid, `signature` is what `sign` wants to know.
    """

    signed_name = forms.CharField(
        max_length=120, label="Name of the signer", widget=forms.TextInput({"autocomplete": "off"})
    )
    strokes = StrokesField(required=False)
    by_typing = forms.BooleanField(
        required=False, label="Sign with the typed name instead of a drawn signature"
    )
    read = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args, statement: Statement, **kwargs):
        super().__init__(*args, **kwargs)
        self.statement = statement

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("read") != self.statement.fingerprint:
            self._forget_drawing()
            raise forms.ValidationError(READ_AGAIN)
        drawn = cleaned.get("strokes")
        if not cleaned.get("by_typing") and not drawn and "strokes" not in self.errors:
            self.add_error("strokes", "Sign in the box, or tick that the typed name is enough.")
        return cleaned

    @property
    def signature(self) -> dict:
        facts = self.cleaned_data
        strokes = [] if facts["by_typing"] else facts["strokes"]
        return {"name": facts["signed_name"], "strokes": strokes}

    def _forget_drawing(self) -> None:
        """It was drawn under other words, so it does not stand under these."""
        self.data = self.data.copy()
        self.data[self.add_prefix("strokes")] = ""
