"""The living style page: every component of the visual language in every state."""

import django_tables2 as tables
from django import forms
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.template.response import TemplateResponse

from sessions.editing.picking import PickSeveral
from sessions.signing.forms import SignatureForm
from sessions.signing.models import Signature
from sessions.signing.statement import Statement
from studio.templatetags.look import LEVELS, MARKS, STATES

COLOURS = {
    "Paper and ink": ["paper", "sheet", "well", "ink", "ink-soft", "rule", "rule-strong"],
    "Accent": ["accent", "accent-strong", "accent-wash", "on-accent"],
    "States": ["good", "good-wash", "warn", "warn-wash", "bad", "bad-wash", "focus"],
}
TYPE_STEPS = ["xxl", "xl", "l", "m", "s", "xs"]
SPACE_STEPS = [1, 2, 3, 4, 5, 6, 7, 8]
ROWS = [
    {"unit": "Wrackline 12", "tag": "QS-0012", "gain": 35.0, "home": "Room 1, rack 2"},
    {"unit": "Coaming 2A", "tag": "QS-0031", "gain": 42.5, "home": "Room 1, rack 2"},
    {"unit": "Thole Pair", "tag": "QS-0107", "gain": None, "home": "Locker"},
]

STATEMENT = Statement(
    "Overtime", (("Session", "Shanty EP, day 2"), ("More", "2 h, 96.00 GBP")), "I approve this."
)
WAVE = [[60, 250, 140, 90, 190, 300, 260, 120, 330, 280, 470, 210], [500, 290, 820, 240]]


class SampleForm(forms.Form):
    title = forms.CharField(label="Song title", help_text="As it stands on the lyric sheet.")
    starts = forms.DateTimeField(
        label="Starts",
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
    )
    distance = forms.FloatField(label="Distance", min_value=0, required=False)
    pattern = forms.ChoiceField(
        label="Pattern",
        choices=[("", "Choose one"), ("c", "Cardioid"), ("8", "Figure of eight"), ("o", "Omni")],
    )
    path = forms.ChoiceField(
        label="Path",
        choices=[("printed", "Printed"), ("monitor", "Monitor only")],
        widget=forms.RadioSelect,
    )
    people = forms.MultipleChoiceField(
        label="People",
        choices=[("f", "Fiddle"), ("c", "Concertina"), ("h", "Flugelhorn")],
        widget=forms.CheckboxSelectMultiple,
        required=False,
        help_text="Whoever plays on this one.",
    )
    gear = forms.MultipleChoiceField(
        label="Gear",
        choices=[
            (tag, f"Spare lead ({tag})")
            for tag in ("L-1", "L-2", "L-3", "L-4", "L-5", "L-6", "L-7")
        ],
        widget=PickSeveral,
        required=False,
        initial=["L-2"],
    )
    pop_filter = forms.BooleanField(label="Pop filter in place", required=False)
    photo = forms.FileField(label="Photo", required=False)
    note = forms.CharField(label="Note", widget=forms.Textarea(attrs={"rows": 3}), required=False)
    serial = forms.CharField(label="Serial number", disabled=True, required=False, initial="4471")

    units = {"distance": "cm"}


class SampleTable(tables.Table):
    unit = tables.Column(linkify=lambda: "#tables")
    tag = tables.Column(verbose_name="Asset tag", attrs={"td": {"class": "mono"}})
    gain = tables.Column(
        verbose_name="Gain, dB", attrs={"th": {"class": "num"}, "td": {"class": "num mono"}}
    )
    home = tables.Column(orderable=False)

    class Meta:
        empty_text = "No unit matches. Show all, or add one."


def style(request: HttpRequest) -> HttpResponse:
    table = SampleTable(ROWS, order_by=request.GET.get("sort", "unit"))
    table.caption = "Units in room 1"
    empty_table = SampleTable([], prefix="empty-")
    empty_table.caption = "A list with nothing in it"
    wrong = {"title": "", "starts": "", "distance": "-3", "note": "Kept as typed"}
    filled = {"title": "The Herring Light", "distance": 18, "path": "printed", "people": ["f"]}
    filter_form = SampleFilter(request.GET or None, prefix="filter")
    return TemplateResponse(
        request,
        "studio/style.html",
        {
            "colours": COLOURS,
            "type_steps": TYPE_STEPS,
            "space_steps": SPACE_STEPS,
            "states": STATES,
            "marks": MARKS,
            "levels": LEVELS,
            "facts": [("Client", "Gull & Anchor"), ("Room", "Room 1"), ("Sample rate", "96 kHz")],
            "form": SampleForm(initial=filled, prefix="plain"),
            "wrong_form": SampleForm(wrong, prefix=None),
            "filter_form": filter_form,
            "usual": [filter_form["words"]],
            "seldom": [filter_form["state"]],
            "table": table,
            "empty_table": empty_table,
            "page": Paginator(range(236), 25).page(4),
            "statement": STATEMENT,
            "signature_form": SignatureForm(statement=STATEMENT, auto_id="new_%s"),
            "wrong_signature": SignatureForm(
                {"read": STATEMENT.fingerprint}, statement=STATEMENT, auto_id="wrong_%s"
            ),
            "signatures": [
                Signature(name="Ebba Quarrell", on_behalf_of="Gull & Anchor", strokes=WAVE),
                Signature(name="Ebba Quarrell"),
            ],
            "crumbs": [("Sessions", "#navigation"), ("Shanty EP, day 2", "")],
        },
    )


class SampleFilter(forms.Form):
    words = forms.CharField(label="Words", required=False, widget=forms.SearchInput)
    state = forms.ChoiceField(
        label="State", required=False, choices=[("", "Any"), ("held", "Held")]
    )
