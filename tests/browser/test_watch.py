"""The eye itself: what it must see, it sees."""

import pytest

from tests.browser.browsing import TABLET, Watch, new_context
from tests.browser.looking import barriers, faint_words, sideways, small_targets

pytestmark = pytest.mark.browser


@pytest.fixture
def watched(browser, real_database, live_server):
    """A page with a watch of its own, whose findings fail no test."""
    context = new_context(browser, live_server.url)
    watch = Watch(live_server.url)
    watch.over(context)
    page = context.new_page()
    page.goto("/sign-in/")
    yield page, watch
    context.close()


def test_watch_is_content_with_a_page_in_order(watched):
    _page, watch = watched

    assert watch.seen == []


@pytest.mark.parametrize(
    ("misdeed", "said"),
    [
        ("console.error('the tide is out')", "the tide is out"),
        ("setTimeout(() => { throw new Error('run aground') })", "run aground"),
        ("document.body.setAttribute('style', 'color: red')", "style-src"),
        ("document.body.append(Object.assign(document.createElement('script'), {text: '1'}))",
         "script-src"),
        ("fetch('http://elsewhere.example/').catch(() => 0)", "connect-src"),
    ],
)  # fmt: skip
def test_watch_sees_what_a_page_should_not_do(watched, misdeed, said):
    page, watch = watched

    page.evaluate(misdeed)
    page.wait_for_timeout(100)

    assert [said in line for line in watch.seen].count(True) == 1, watch.seen


def test_watch_sees_a_request_that_leaves_the_studio(watched):
    page, watch = watched

    page.goto("data:text/html,<img src='http://elsewhere.example/gull.png'>")

    assert "a request left the studio: http://elsewhere.example/gull.png" in watch.seen


@pytest.mark.parametrize(
    ("look", "flaw", "said"),
    [
        (sideways, "main.style.width = '2000px'", "scrolls sideways"),
        (
            small_targets,
            "main.querySelector('button').style.cssText = 'min-height: 0; padding: 0; height: 20px'",
            "a target of",
        ),
        (barriers, "main.querySelector('label').remove()", "axe, label"),
        (faint_words, "main.querySelector('h1').style.color = '#ccc'", "axe, color-contrast"),
    ],
)
def test_look_finds_what_is_wrong_with_a_page(watched, look, flaw, said):
    page, _watch = watched
    page.set_viewport_size(TABLET)
    assert look(page) == []

    page.evaluate(f"() => {{ const main = document.querySelector('main'); {flaw}; }}")

    assert any(said in line for line in look(page))
