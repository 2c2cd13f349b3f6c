"""The tracking page in WebKit: takes by one key and by pointer, in the dark; without the network."""

import pytest

from sessions.takes.models import Mark, Take, What
from tests.browser.tracking import tracked_part, tracking_page
from tests.browser.webkit import button, found, goto, sees, until

pytestmark = pytest.mark.browser


@pytest.fixture
def part(real_database):
    return tracked_part()


@pytest.fixture
def page(part, tablet_of, engineer):
    """`page()`: the tracking page on a tablet, ready for presses."""

    def opened(**options):
        tablet = tablet_of(engineer.username, **options)
        goto(tablet, tracking_page(part))
        ready(tablet)
        return tablet

    return opened


def ready(tablet) -> None:
    found(tablet, "//*[@data-tracking and @data-ready]")


def strike(tablet, key: str) -> None:
    tablet.find_element("tag name", "body").send_keys(key)


def test_take_is_logged_by_key_and_by_pointer_in_the_dark(page, part):
    tablet = page(dark=True)

    button(tablet, "Start take").click()
    sees(tablet, "Rolling since")
    strike(tablet, "m")
    sees(tablet, "Take 1: master.")
    strike(tablet, "u")
    sees(tablet, "Undone")

    take = Take.objects.get()
    assert (take.take_parts.get().mark, take.is_rolling) == ("", True)
    wide = "return document.documentElement.scrollWidth - innerWidth"
    assert tablet.execute_script(wide) <= 0


def test_presses_wait_through_a_reload_while_the_network_is_away(page, network):
    tablet = page()
    kept = """const [done] = arguments;
        caches.match(location.href, { ignoreVary: true }).then((page) => done(Boolean(page)));"""
    until(tablet, lambda: tablet.execute_async_script(kept))

    network.cut()
    strike(tablet, "t")
    sees(tablet, "Take 1 starts")
    tablet.refresh()
    ready(tablet)
    strike(tablet, "h")
    sees(tablet, "Take 1 mark: hold", "The server can’t be reached")
    network.mend()
    until(tablet, lambda: not found(tablet, "//*[@id='waiting']").is_displayed())

    take = Take.objects.get()
    assert [press.what for press in take.presses.all()] == [What.START, What.MARK]
    assert take.take_parts.get().mark == Mark.HOLD
