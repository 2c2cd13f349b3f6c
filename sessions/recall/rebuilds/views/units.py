from dataclasses import dataclass

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.response import TemplateResponse
from django.urls import reverse

from gear.editing.versions import EditedMeanwhile
from gear.equipment.models import Unit
from sessions.recall.models import Rebuild
from sessions.recall.rebuilds.actions import RebuildRefused, choose_unit
from sessions.recall.rebuilds.booking import Day, day_of
from sessions.recall.rebuilds.candidates import Candidate, Stock, fate_of, suggested
from sessions.recall.rebuilds.checklist import checklist_of
from sessions.recall.rebuilds.forms import DayForm, UnitChoiceForm
from sessions.recall.rebuilds.lines import Checklist, StageLine
from sessions.recall.rebuilds.views.common import crumbs_of, rebuild_of


@dataclass(frozen=True)
class UnitRow:
    """One stage: what became of its unit, what can stand in, and the choice."""

    line: StageLine
    candidates: list[Candidate]
    fate: str
    form: UnitChoiceForm


def units(request: HttpRequest, pk: int) -> HttpResponse:
    """What became of the units, what could stand in for them, which are used, and on which day."""
    rebuild = rebuild_of(request, pk)
    checklist = checklist_of(rebuild)
    rows = _rows(request, checklist)
    asked = "ask" in request.POST
    day_form = DayForm(request.POST if asked else request.GET or None)
    status = 200
    if request.method == "POST":
        status = 422
        forms = [day_form, *(row.form for row in rows)] if asked else [row.form for row in rows]
        valid = [form.is_valid() for form in forms]  # each, so that each says what is wrong
        if all(valid):
            try:
                _choose(rows, by=request.user)
            except RebuildRefused as refusal:
                messages.warning(request, str(refusal))
                return redirect(rebuild)
            except EditedMeanwhile as meanwhile:
                _show_both(rows, meanwhile.current)
                status = 409
            else:
                messages.success(request, "Units saved.")
                return redirect(_next_address(rebuild, day_form if asked else None))
    chosen = list(dict.fromkeys(line.unit for line in checklist.stages if line.unit))
    context = {
        "rebuild": rebuild,
        "chains": [
            (chain, [row for row in rows if row.line in chain.stages]) for chain in checklist.chains
        ],
        "chosen": chosen,
        "day_form": day_form,
        "day": _day(rebuild, chosen, day_form),
        "crumbs": crumbs_of(rebuild, "Units"),
    }
    return TemplateResponse(request, "sessions/recall/rebuilds/units.html", context, status=status)


def _next_address(rebuild: Rebuild, asked: DayForm | None) -> str:
    """The checklist, or this page again with the answer for the day that was asked for."""
    if asked is None:
        return rebuild.get_absolute_url()
    return f"{reverse('rebuild:units', args=[rebuild.pk])}?day={asked.cleaned_data['day']}#book"


def _rows(request, checklist: Checklist) -> list[UnitRow]:
    stock, typed = Stock(), request.POST or None
    rows = []
    chains = {chain.wanted.number: chain.wanted for chain in checklist.chains}
    for line in checklist.stages:
        found = stock.candidates(line.wanted, chains[line.step.chain_number])
        start = (
            suggested(found) if checklist.rebuild.imported_id and line.step.version == 1 else None
        )
        form = UnitChoiceForm(typed, step=line.step, candidates=found, start=start)
        rows.append(UnitRow(line, found, fate_of(line.wanted, found), form))
    return rows


@transaction.atomic
def _choose(rows: list[UnitRow], *, by) -> None:
    for row in rows:
        choose_unit(row.line.step, **row.form.choice(), by=by)


def _show_both(rows: list[UnitRow], current) -> None:
    """Say beside the choice what somebody else has chosen; saving again is then knowingly."""
    row = next(row for row in rows if row.line.step.pk == current.pk)
    theirs = Unit.objects.select_related("model").filter(pk=current.unit_id).first()
    said = "to leave it out" if current.is_left_out else "one from outside"
    row.form.add_error(
        "unit",
        f"Somebody else chose {theirs or current.outside_unit or said} here meanwhile. Your choice is "
        "still in the list: save once more if it is right.",
    )
    row.form.data = row.form.data.copy()
    row.form.data[row.form.add_prefix("seen")] = str(current.version)


def _day(rebuild, chosen: list[Unit], form: DayForm) -> Day | None:
    if form.is_bound and form.is_valid():
        return day_of(rebuild, chosen, form.cleaned_data["day"])
    return None
