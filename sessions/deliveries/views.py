"""Sending, and what came of it: pages of the house."""

from django.contrib import messages
from django.db.models import Prefetch
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse

from gear.editing.form_pages import Crumbs, confirm_page, create_page, form_page, trail
from sessions.clients.models import Project
from sessions.deliverables.checking import Outcome, checks_of
from sessions.deliverables.models import Deliverable
from sessions.deliveries.actions import release, send, send_again, withdraw
from sessions.deliveries.forms import (
    ApprovedForm,
    ReleaseForm,
    SendAgainForm,
    SendForm,
    WithdrawForm,
)
from sessions.deliveries.models import (
    ApprovedRecipient,
    Delivery,
    DeliveryEvent,
    DeliveryRecipient,
)
from sessions.deliveries.payment import waits_for
from sessions.deliveries.rules import NotToBeSent, why_not_ready
from sessions.letters.outbox import warning_of_unsent_letters
from sessions.songs.models import Song

SENT_JUST_NOW = "delivery_sent_just_now"
TO_ANYBODY = "studio_sessions.send_to_anybody"
SEES_MONEY = "studio_sessions.see_money"


def _above(song: Song) -> Crumbs:
    deliveries = reverse("deliveries:project", args=[song.project_id])
    return [*trail(("Songs", "songs:list"), song), ("Deliveries", deliveries)]


def _delivery_of(request, pk) -> Delivery:
    return get_object_or_404(Delivery.objects.visible_to(request.user).for_list(), pk=pk)


def _keep_addresses(request, delivery: Delivery, addresses: dict[DeliveryRecipient, str]) -> None:
    """Until the delivery's page has shown them once."""
    shown = [(recipient.name, address) for recipient, address in addresses.items()]
    request.session[SENT_JUST_NOW] = {"delivery": delivery.pk, "addresses": shown}


def _address_of(request: HttpRequest):
    return lambda token: request.build_absolute_uri(reverse("deliveries:open", args=[token]))


def send_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Send a deliverable to named recipients."""
    deliverables = Deliverable.objects.visible_to(request.user)
    deliverable = get_object_or_404(deliverables.select_related("song__project__client"), pk=pk)
    song = deliverable.song
    anybody = request.user.has_perm(TO_ANYBODY)
    form = SendForm(request.POST or None, deliverable=deliverable, sends_to_anybody=anybody)
    if form.is_valid():
        typed = form.cleaned_data
        try:
            with warning_of_unsent_letters(request):
                delivery, addresses = send(
                    song,
                    deliverables=typed["deliverables"],
                    recipients=form.chosen(),
                    expires_at=form.expires_at(),
                    papers=typed["papers"],
                    message=typed["message"],
                    password=typed["password"],
                    address_of=_address_of(request),
                    by=request.user,
                )
        except NotToBeSent as refusal:  # since the form was looked at
            form.add_error(None, str(refusal))
        else:
            _keep_addresses(request, delivery, addresses)
            if delivery.waits:
                messages.warning(
                    request, f"{delivery} waits for payment: nobody was written to yet."
                )
            else:
                messages.success(request, f"{delivery} sent.")
            return redirect(delivery)
    return form_page(
        request,
        form,
        title=f"Send {deliverable}",
        crumbs=[*trail(("Songs", "songs:list"), song, deliverable)],
        action="Send",
        template="sessions/deliveries/send.html",
        song=song,
        anybody=anybody,
        not_ready=why_not_ready(deliverable),
        waits_for=waits_for(song.project),
        failed=[each for each in checks_of(deliverable) if each.verdict == Outcome.FAIL],
    )


def detail(request: HttpRequest, pk: int) -> HttpResponse:
    """A delivery: what, to whom, and what each did with it. New addresses are shown once."""
    delivery = _delivery_of(request, pk)
    made = request.session.get(SENT_JUST_NOW)
    addresses = ()
    if made and made["delivery"] == delivery.pk:
        addresses = request.session.pop(SENT_JUST_NOW)["addresses"]
    events = DeliveryEvent.objects.filter(recipient__delivery=delivery)
    context = {
        "delivery": delivery,
        "waits_for": waits_for(delivery.song.project) if delivery.waits else None,
        "song": delivery.song,
        "files": delivery.files(),
        "addresses": addresses,
        "events": events.select_related("recipient", "file").order_by("-at", "-pk"),
        "crumbs": [*_above(delivery.song), (str(delivery), "")],
    }
    return TemplateResponse(request, "sessions/deliveries/delivery_detail.html", context)


def project_list(request: HttpRequest, pk: int) -> HttpResponse:
    """A project's deliveries by song, and whom its deliverables may be sent to."""
    projects = Project.objects.visible_to(request.user).select_related("client")
    project = get_object_or_404(projects, pk=pk)
    deliveries = Prefetch("deliveries", Delivery.objects.for_list())
    context = {
        "project": project,
        "songs": project.songs.filter(deliveries__isnull=False)
        .distinct()
        .prefetch_related(deliveries),
        "approved": project.approved_recipients.select_related("person__client"),
        "crumbs": [*trail(project), ("Deliveries", "")],
    }
    return TemplateResponse(request, "sessions/deliveries/project.html", context)


def withdraw_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask why, then withdraw."""
    delivery = _delivery_of(request, pk)
    form = WithdrawForm(request.POST or None)
    if form.is_valid():
        with warning_of_unsent_letters(request):
            withdraw(delivery, **form.cleaned_data, by=request.user)
        messages.success(request, f"{delivery} withdrawn: its links no longer open.")
        return redirect(delivery)
    crumbs = [*_above(delivery.song), *trail(delivery)]
    return form_page(request, form, title="Withdraw", crumbs=crumbs, action="Withdraw")


def release_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Send what waited for payment: by anybody who sends once it is paid, before that by a manager,
    who says why."""
    delivery = _delivery_of(request, pk)
    if not delivery.waits or delivery.withdrawn_at:
        return redirect(delivery)
    open_still = waits_for(delivery.song.project)
    if open_still and not request.user.has_perm(SEES_MONEY):
        messages.error(request, "It waits for payment: ask a studio manager to allow it.")
        return redirect(delivery)
    form = ReleaseForm(request.POST or None, something_is_open=bool(open_still))
    if form.is_valid():
        try:
            with warning_of_unsent_letters(request):
                addresses = release(
                    delivery, **form.cleaned_data, address_of=_address_of(request), by=request.user
                )
        except NotToBeSent as refusal:  # since the form was looked at
            form.add_error(None, str(refusal))
        else:
            _keep_addresses(request, delivery, addresses)
            messages.success(request, f"{delivery} sent.")
            return redirect(delivery)
    return form_page(
        request,
        form,
        title="Allow before payment" if open_still else "Send now",
        crumbs=[*_above(delivery.song), *trail(delivery)],
        action="Send",
        template="sessions/deliveries/release.html",
        waits_for=open_still,
    )


def send_again_page(request: HttpRequest, pk: int) -> HttpResponse:
    """A new link for one recipient; the one before stops working."""
    deliveries = Delivery.objects.visible_to(request.user)
    recipients = DeliveryRecipient.objects.filter(delivery__in=deliveries)
    recipient = get_object_or_404(recipients.select_related("delivery__song__project"), pk=pk)
    delivery = recipient.delivery
    anybody = request.user.has_perm(TO_ANYBODY)
    form = SendAgainForm(request.POST or None, recipient=recipient, sends_to_anybody=anybody)
    if form.is_valid():
        try:
            with warning_of_unsent_letters(request):
                address = send_again(
                    recipient,
                    expires_at=form.expires_at(),
                    address_of=_address_of(request),
                    by=request.user,
                )
        except NotToBeSent as refusal:
            form.add_error(None, str(refusal))
        else:
            _keep_addresses(request, delivery, {recipient: address})
            messages.success(
                request, f"A new link was sent to {recipient}; the old one is revoked."
            )
            return redirect(delivery)
    crumbs = [*_above(delivery.song), *trail(delivery)]
    title = f"New link for {recipient}"
    return form_page(request, form, title=title, crumbs=crumbs, action="Send new link")


def approve(request: HttpRequest, pk: int) -> HttpResponse:
    project = get_object_or_404(Project.objects.select_related("client"), pk=pk)
    form = ApprovedForm(request.POST or None, instance=ApprovedRecipient(project=project))
    here = reverse("deliveries:project", args=[pk])
    crumbs = [*trail(project), ("Deliveries", here)]
    return create_page(request, form, title="Approve a recipient", crumbs=crumbs, then=here)


def disapprove(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask, then remove somebody from the project's list."""
    listed = ApprovedRecipient.objects.select_related("project", "person")
    approved = get_object_or_404(listed, pk=pk)
    here = reverse("deliveries:project", args=[approved.project_id])
    if request.method == "POST":
        approved.delete()
        messages.success(request, f"{approved} removed.")
        return redirect(here)
    return confirm_page(
        request,
        question=f"Remove {approved} from the recipients of {approved.project}?",
        text="What was sent already stays open to them until it expires or is withdrawn.",
        action="Remove",
        title="Remove",
        crumbs=[*trail(approved.project), ("Deliveries", here)],
    )
