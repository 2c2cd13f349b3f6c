from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.http import urlencode

from gear.asked import way_back
from gear.editing.form_pages import form_page
from sessions.bookings.models import RecordingSession
from sessions.bookings.stand_ins.needs import open_needs
from sessions.setups.chains.views.setups import crumbs_of
from sessions.setups.faults.actions import report_in_session
from sessions.setups.faults.forms import SessionFaultForm


def fault(request: HttpRequest, pk: int) -> HttpResponse:
    """What is wrong, in one field (`?unit=` says with what), and back to where one was (`?next=`);
    by way of its stand-ins where the bench takes it from sessions to come."""
    session = get_object_or_404(RecordingSession.objects.visible_to(request.user), pk=pk)
    form = SessionFaultForm(
        request.POST or None, session=session, initial={"unit": request.GET.get("unit")}
    )
    back = way_back(request, reverse("setups:session", args=[session.pk]))
    if form.is_valid():
        facts = form.cleaned_data
        unit = facts["unit"]
        report_in_session(session, by=request.user, **facts)
        went = " It is on the bench now." if facts["to_bench"] else ""
        messages.success(request, f"Fault of {unit} reported.{went}")
        if facts["to_bench"] and open_needs().filter(unit=unit).exists():
            return redirect(
                f"{reverse('stand_ins:open')}?{urlencode({'unit': unit.pk, 'next': back})}"
            )
        return redirect(back)
    return form_page(request, form, title="Report a fault", crumbs=crumbs_of(session), back=back)
