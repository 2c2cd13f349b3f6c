"""The page of chains of 58 controls, shown and saved: against the bare SQL of it, and many chains
against one."""

from collections.abc import Callable, Iterator
from itertools import chain, count, cycle

import lxml.html
from django.contrib.messages.storage.cookie import CookieStorage
from django.http import QueryDict
from django.test import Client, RequestFactory
from django.urls import resolve, reverse
from django.utils.http import urlencode

from sessions.editing.presses import Press
from sessions.setups.models import Setup
from tests.factories import PartFactory, RecordingSessionFactory
from tests.measure.asking import Statements, bare, page, queries
from tests.measure.booking import vacuum
from tests.measure.fill.chains import set_up
from tests.measure.fill.house import House, furnish
from tests.measure.timing import Ratio, interleaved

ONE, SAVED, LARGE, BAND = 1, 7, 10, 24  # chains; 7 of them have 406 controls
COST = 200
SAVE_COST = 10  # of its own statements: fewer of them make it worse, look at the milliseconds too
OF_ONE = 1.3

#: What is typed for every control, by chain.
Texts = list[list[str]]


def measure(rounds: int) -> Iterator[Ratio | str]:
    house = furnish(rooms=1, chains=BAND)
    one, saved, large, band = (filled_setup(house, each) for each in (ONE, SAVED, LARGE, BAND))
    vacuum()
    client = Client(SERVER_NAME="localhost")
    client.force_login(house.manager, backend="studio.backends.RoleBackend")
    shown = page(house.manager, address(large), "Voice 1")
    texts = texts_of(client, band)
    both, save = saving(client, large, texts), saving_alone(client, house.manager, saved, texts)
    works = {
        "page": shown,
        "page, bare SQL": bare(queries(shown)),
        "page and save": both,
        "page and save, bare SQL": bare(_again(queries(both)), in_transaction=True),
        "save": save,
        "save, bare SQL": bare(queries(save), in_transaction=True),
        "one chain": saving(client, one, texts),
        "band": saving(client, band, texts),
    }
    times = interleaved(works, rounds)
    yield Ratio.of(times, "page", "page, bare SQL", COST, f"{LARGE} chains")
    yield Ratio.of(times, "page and save", "page and save, bare SQL", COST, f"{LARGE} chains")
    yield Ratio.of(times, "save", "save, bare SQL", SAVE_COST, f"{SAVED * len(texts[0])} controls")
    times["page and save, a chain"] = [seconds / BAND for seconds in times["band"]]
    yield Ratio.of(times, "page and save, a chain", "one chain", OF_ONE, f"of {BAND}")
    asked = [len(queries(page(house.manager, address(each), "Voice 1"))) for each in (one, band)]
    yield f"queries of the page: {asked[0]} for {ONE} chain, {asked[1]} for {BAND}"


def filled_setup(house: House, chains: int) -> Setup:
    """Of a session of its own."""
    session = RecordingSessionFactory()
    parts = [
        PartFactory(song__project=session.project, name=f"Voice {n + 1}") for n in range(chains)
    ]
    return set_up(session, parts, house.booths[0], by=house.manager)


def address(setup: Setup) -> str:
    return reverse("editor:setup", args=[setup.pk])


def saving(client: Client, setup: Setup, texts: Texts) -> Callable[[], None]:
    """The page opened, and its whole form sent as a browser does, with every control set anew."""
    times = count(1)

    def save() -> None:
        sent = urlencode(set_anew(form_of(client, setup), texts, next(times)))
        answer = client.post(address(setup), sent, "application/x-www-form-urlencoded")
        if answer.status_code != 302:
            raise RuntimeError(f"The page was not saved: {answer.status_code}.")

    return save


def saving_alone(client: Client, user, setup: Setup, texts: Texts) -> Callable[[], None]:
    """The view alone, without the page before it and what a server and the middleware do."""
    sent, times, found = form_of(client, setup), count(1), resolve(address(setup))

    def save() -> None:
        request = RequestFactory().post(address(setup))
        request.POST = QueryDict(mutable=True)
        request.POST.update(set_anew(sent, texts, next(times)))
        request.user, request._messages = user, CookieStorage(request)
        answer = found.func(request, **found.kwargs)
        if answer.status_code != 302:
            raise RuntimeError(f"The chains were not saved: {answer.status_code}.")
        for name in (name for name in sent if name.endswith("-seen")):
            revision, version = sent[name].split(".")
            sent[name] = f"{revision}.{int(version) + 1}"

    return save


def form_of(client: Client, setup: Setup) -> dict[str, str]:
    shown = lxml.html.fromstring(client.get(address(setup)).content)
    [form] = [form for form in shown.forms if form.get("class") == "editor"]
    return dict(form.form_values())


def texts_of(client: Client, setup: Setup) -> Texts:
    """What stands in the fields of the controls, chain by chain."""
    sent = form_of(client, setup)
    texts = [sent[name] for name in controls_in(sent)]
    each = len(texts) // setup.chains.count()
    return [texts[start : start + each] for start in range(0, len(texts), each)]


def set_anew(sent: dict[str, str], texts: Texts, times: int) -> dict[str, str]:
    """Every control as it stood at first so many chains further."""
    further = cycle(texts[times % len(texts) :] + texts[: times % len(texts)])
    return sent | dict(zip(controls_in(sent), chain.from_iterable(further), strict=False))


def controls_in(sent: dict[str, str]) -> list[str]:
    return [name for name in sent if "control-" in name]


def _again(asked: Statements) -> Statements:
    """A press is one row for ever: sent again, it would be refused."""
    return [each for each in asked if Press._meta.db_table not in each[0]]
