from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect

from gear.editing.form_pages import form_page
from gear.editing.versions import EditedMeanwhile
from sessions.setups.chains.actions import (
    ChainRecorded,
    Seen,
    add_chain,
    change_chain,
    change_parts,
)
from sessions.setups.chains.forms import (
    ChainEditForm,
    ChainForm,
    RecordedChainForm,
)
from sessions.setups.chains.views.meanwhile import both_versions
from sessions.setups.chains.views.setups import crumbs_of
from sessions.setups.models import Chain, Setup


def chain_create(request: HttpRequest, pk: int) -> HttpResponse:
    """A new chain, without stages yet."""
    setups = Setup.objects.visible_to(request.user).select_related("session__project")
    setup = get_object_or_404(setups, pk=pk)
    form = ChainForm(request.POST or None, project=setup.session.project, setup=setup)
    if request.method == "POST" and form.is_valid():
        chain = add_chain(setup, by=request.user, **form.cleaned_data)
        messages.success(request, f"{chain} saved. Add its units, the microphone first.")
        return redirect(chain)
    title = f"New chain in {setup}"
    return form_page(request, form, title=title, crumbs=crumbs_of(setup.session))


def chain_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Change what a chain records; once a take was recorded through it, only which other parts."""
    chain = _chain_of(request, pk)
    project = chain.setup.session.project
    seen = Seen.of(chain.newest_revision())
    form = ChainEditForm(
        request.POST or None, instance=chain, project=project, initial={"seen": seen}
    )
    title, crumbs = f"Edit {chain}", _crumbs(chain)
    if chain.is_recorded():
        return _edit_parts(request, chain)
    if request.method == "POST" and form.is_valid():
        try:
            change_chain(Chain.objects.get(pk=pk), by=request.user, **form.cleaned_data)
        except ChainRecorded as refusal:
            return _keep_as_recorded(request, refusal)
        except EditedMeanwhile as meanwhile:
            current = meanwhile.current
            return both_versions(
                request,
                current,
                lambda data=None: ChainEditForm(data, instance=current.chain, project=project),
                what=f"the chain {current.chain}",
            )
        messages.success(request, f"{chain} saved.")
        return redirect("setups:chain", pk)
    return form_page(request, form, title=title, crumbs=crumbs)


def _edit_parts(request, chain: Chain) -> HttpResponse:
    """The parts of the next song, on the chain that the last one was recorded through."""
    if not chain.parts.exists():  # it carries whatever is recorded
        return _keep_as_recorded(request, ChainRecorded(chain))
    form = RecordedChainForm(request.POST or None, chain=chain)
    if request.method == "POST" and form.is_valid():
        try:
            change_parts(chain, by=request.user, **form.changes())
        except ChainRecorded as refusal:
            return _keep_as_recorded(request, refusal)
        messages.success(request, f"Parts of {chain} saved.")
        return redirect(chain)
    return form_page(request, form, title=f"Parts of {chain}", crumbs=_crumbs(chain))


def _keep_as_recorded(request, refusal: ChainRecorded) -> HttpResponse:
    messages.warning(request, str(refusal))
    return redirect(refusal.chain)


def _chain_of(request, pk: int) -> Chain:
    chains = Chain.objects.visible_to(request.user).select_related("setup__session__project")
    return get_object_or_404(chains, pk=pk)


def _crumbs(chain: Chain) -> list[tuple[str, str]]:
    return [*crumbs_of(chain.setup.session), (str(chain), chain.get_absolute_url())]
