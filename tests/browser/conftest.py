"""Real pages in a real browser; skipped, saying why, where there is none."""

import importlib.util
import os
from contextlib import ExitStack
from threading import Thread

import pytest

from studio.demo.chains import make_chain
from studio.demo.equipment import fill_equipment
from tests.browser import webkit
from tests.browser.browsing import Watch, chromium, launched, new_context, sign_in
from tests.browser.network import Network
from tests.conftest import skip_or_fail
from tests.factories import PASSWORD, SetupFactory
from tests.vocal import VOICE

# Playwright drives the browser from within an event loop, in which Django refuses its database.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")


@pytest.fixture(scope="session")
def browser():
    if importlib.util.find_spec("playwright") is None:
        skip_or_fail("playwright is not installed: sh .ci/install tests")
    if chromium() is None:
        skip_or_fail("there is no Chromium: apt-get install chromium")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        yield launched(playwright)


@pytest.fixture
def watch(live_server):
    """Fails the test in which a page logged an error, broke the policy or asked another host."""
    watch = Watch(live_server.url)
    yield watch
    assert watch.seen == []


@pytest.fixture
def new_page(browser, real_database, live_server, watch):
    """`new_page()`: a page in a browser of its own, on which nobody has signed in."""
    contexts = []

    def opened(**options):
        context = new_context(browser, live_server.url, **options)
        watch.over(context)
        contexts.append(context)
        return context.new_page()

    yield opened
    for context in contexts:
        context.close()


@pytest.fixture
def page_of(new_page):
    """`page_of("odile")`: a page on which that person has signed in."""

    def come_in(user_name: str, **options):
        page = new_page(**options)
        sign_in(page, user_name, PASSWORD)
        return page

    return come_in


@pytest.fixture
def vocal(real_database, engineer):
    """The chain of a voice: six units and the recorder, all of their controls logged."""
    fill_equipment()
    setup = SetupFactory(name="Lead vocal, morning")
    return make_chain(setup, VOICE, by=engineer, number=1)


@pytest.fixture
def network(live_server):
    """The line between WebKit and the studio: `network.cut()`, `network.mend()`."""
    with Network(live_server.url) as line:
        Thread(target=line.serve_forever, kwargs={"poll_interval": 0.01}, daemon=True).start()
        yield line
        line.cut()
        line.shutdown()


@pytest.fixture(scope="session")
def screen():
    if reason := webkit.missing():
        skip_or_fail(reason)
    with webkit.screen() as name:
        yield name


@pytest.fixture
def tablet_of(screen, real_database, network):
    """`tablet_of("odile")`: WebKit on a tablet, on which that person has signed in."""
    with ExitStack() as opened:

        def come_in(user_name: str, **options):
            driver = opened.enter_context(webkit.window(screen, **options))
            webkit.sign_in(driver, network.address, user_name, PASSWORD)
            return driver

        yield come_in
