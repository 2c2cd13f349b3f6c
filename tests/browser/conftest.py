"""Real pages in a real browser; skipped, saying why, where there is none."""

import importlib.util
import os

import pytest

from tests.browser.browsing import Watch, chromium, launched, new_context, sign_in
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
