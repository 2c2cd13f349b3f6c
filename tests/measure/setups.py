"""The page of ten chains of 58 controls, shown and saved, held against the bare SQL of it."""

from collections.abc import Callable, Iterator

import lxml.html
from django.test import Client
from django.urls import reverse

from sessions.editing.presses import Press
from sessions.setups.models import Setup
from tests.factories import PartFactory, RecordingSessionFactory
from tests.measure.asking import bare, page, queries
from tests.measure.booking import vacuum
from tests.measure.fill.chains import set_up
from tests.measure.fill.house import House, furnish
from tests.measure.timing import Ratio, interleaved

SMALL, LARGE = 2, 10  # chains
COST = 200


def measure(rounds: int) -> Iterator[Ratio | str]:
    house = furnish(rooms=1, chains=LARGE)
    small, large = (filled_setup(house, chains) for chains in (SMALL, LARGE))
    vacuum()
    client = Client(SERVER_NAME="localhost")
    client.force_login(house.manager, backend="studio.backends.RoleBackend")
    pages = [page(house.manager, address(setup), "Voice 1") for setup in (small, large)]
    save = saving(client, large)
    shown = queries(pages[1])
    # A press is one row for ever: sent again, it would be refused.
    saved = [each for each in queries(save) if Press._meta.db_table not in each[0]]
    works = {
        "page": pages[1],
        "page, bare SQL": bare(shown),
        "page and save": save,
        "page and save, bare SQL": bare(saved, in_transaction=True),
    }
    times = interleaved(works, rounds)
    size = f"{LARGE} chains"
    yield Ratio.of(times, "page", "page, bare SQL", COST, size)
    yield Ratio.of(times, "page and save", "page and save, bare SQL", COST, size)
    yield f"queries of the page: {len(queries(pages[0]))} for {SMALL} chains, {len(shown)} for {LARGE}"


def filled_setup(house: House, chains: int) -> Setup:
    """Of a session of its own."""
    session = RecordingSessionFactory()
    parts = [
        PartFactory(song__project=session.project, name=f"Voice {n + 1}") for n in range(chains)
    ]
    return set_up(session, parts, house.booths[0], by=house.manager)


def address(setup: Setup) -> str:
    return reverse("editor:setup", args=[setup.pk])


def saving(client: Client, setup: Setup) -> Callable[[], None]:
    """The page opened, and its whole form sent with every control as it stood on the next chain."""

    def save() -> None:
        shown = lxml.html.fromstring(client.get(address(setup)).content)
        [form] = [form for form in shown.forms if form.get("class") == "editor"]
        sent = dict(form.form_values())
        controls = [name for name in sent if "control-" in name]
        moved = len(controls) // setup.chains.count()
        sent |= {name: sent[controls[n - moved]] for n, name in enumerate(controls)}
        answer = client.post(address(setup), sent)
        if answer.status_code != 302:
            raise RuntimeError(f"The page was not saved: {answer.status_code}.")

    return save
