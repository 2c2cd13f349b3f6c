"""Real pages in a real browser; skipped, saying why, where there is none."""

import importlib.util
import os

import pytest

from tests.browser.browsing import Watch, chromium, launched, new_context, signed_in
from tests.conftest import skip_or_fail
from tests.factories import PASSWORD

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
def page_of(browser, real_database, live_server, watch):
    """`page_of("maren")`: a page on which that person has signed in, in a browser of their own."""
    contexts = []

    def come_in(user_name: str, **options):
        context = new_context(browser, live_server.url, **options)
        watch.over(context)
        contexts.append(context)
        return signed_in(context, user_name, PASSWORD)

    yield come_in
    for context in contexts:
        context.close()
