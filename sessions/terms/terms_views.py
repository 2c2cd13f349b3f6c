"""Pages of cancellation terms and their steps."""

from dataclasses import dataclass

from django.contrib import messages
from django.db.models import Count
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse

from gear.editing.form_pages import confirm_page, create_page, edit_page, trail
from gear.list_pages import list_page
from sessions.terms.cancellation import Span, example, kinds_left_out, spans
from sessions.terms.cancellation_words import step_charge_in_words, step_in_words, terms_in_words
from sessions.terms.forms import StepForm, TermsForm
from sessions.terms.models import AppliesTo, CancellationStep, CancellationTerms
from sessions.terms.tables import TermsTable


@dataclass(frozen=True)
class KindOfSession:
    """The steps for one kind of session, in words, and all the time before an example of it."""

    kind: AppliesTo
    steps: list[tuple[CancellationStep, str, str]]
    spans: list[Span]

    @property
    def warnings(self) -> list[str]:
        gaps = [
            f"Gap: the terms say nothing about notice of {span.words}. Such a "
            "cancellation is flagged, and the charge is left to you."
            for span in self.spans
            if span.is_gap
        ]
        overlaps = [
            f"Overlap: for notice of {span.words} the terms contradict themselves: "
            f"{' and '.join(span.charges)}."
            for span in self.spans
            if span.is_overlap
        ]
        return gaps + overlaps


TERMS = ("Cancellation terms", "terms:list")


def _step(pk: int) -> CancellationStep:
    return get_object_or_404(CancellationStep.objects.select_related("terms"), pk=pk)


def terms_list(request: HttpRequest) -> HttpResponse:
    terms = CancellationTerms.objects.annotate(step_count=Count("steps"))
    table = TermsTable(terms.order_by("retired", "name"))
    return list_page(request, table, "sessions/terms/terms_list.html")


def terms_create(request: HttpRequest) -> HttpResponse:
    form = TermsForm(request.POST or None)
    return create_page(request, form, title="New cancellation terms", crumbs=trail(TERMS))


def terms_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """The steps in words by kind of session, with what they leave out and where they contradict."""
    terms = get_object_or_404(CancellationTerms, pk=pk)
    steps = list(terms.steps.all())
    context = {
        "terms": terms,
        "kinds": _kinds(terms, steps),
        "left_out": [
            f"These terms say nothing about {kind.label.lower()}: such a cancellation is "
            "flagged, and the charge is left to you."
            for kind in kinds_left_out(steps)
            if steps
        ],
        "rules": terms_in_words(terms),
        "crumbs": [*trail(TERMS), (str(terms), "")],
    }
    return TemplateResponse(request, "sessions/terms/terms_detail.html", context)


def _kinds(terms: CancellationTerms, steps: list[CancellationStep]) -> list[KindOfSession]:
    found = []
    for kind in AppliesTo:
        of_kind = [step for step in steps if step.applies_to == kind]
        if of_kind:
            in_words = [(step, step_in_words(step), step_charge_in_words(step)) for step in of_kind]
            found.append(KindOfSession(kind, in_words, spans(terms, of_kind, example(kind))))
    return found


def terms_edit(request: HttpRequest, pk: int) -> HttpResponse:
    terms = get_object_or_404(CancellationTerms, pk=pk)
    return edit_page(
        request, TermsForm(request.POST or None, instance=terms), crumbs=trail(TERMS, terms)
    )


def step_create(request: HttpRequest, pk: int) -> HttpResponse:
    terms = get_object_or_404(CancellationTerms, pk=pk)
    form = StepForm(request.POST or None, instance=CancellationStep(terms=terms))
    return create_page(request, form, title="New step", crumbs=trail(TERMS, terms), then=terms)


def step_edit(request: HttpRequest, pk: int) -> HttpResponse:
    step = _step(pk)
    form = StepForm(request.POST or None, instance=step)
    return edit_page(
        request,
        form,
        crumbs=trail(TERMS, step.terms),
        title=f"Edit the step: {step_in_words(step)}",
    )


def step_delete(request: HttpRequest, pk: int) -> HttpResponse:
    step = _step(pk)
    if request.method == "POST":
        step.delete()
        messages.success(request, "Step removed.")
        return redirect(step.terms)
    return confirm_page(
        request,
        question=f"Remove “{step_in_words(step)}: {step_charge_in_words(step)}” from {step.terms}?",
        text="Quotes already issued stay as they are.",
        action="Remove step",
        title="Remove step",
        crumbs=trail(TERMS, step.terms),
    )
