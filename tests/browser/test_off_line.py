"""The tracking page while the network is cut: it opens, what is pressed waits on the device through
reload and sign-out for who pressed it, and is sent once and in order."""

import pytest

from sessions.bookings.models import Status
from sessions.takes.actions import mark_take
from sessions.takes.models import Mark, Take, What
from tests.browser.browsing import new_context, sign_in, wait_until, wait_until_kept
from tests.browser.forms import press, sees, strike
from tests.browser.tracking import tracked_part, tracking_page
from tests.factories import PASSWORD

pytestmark = pytest.mark.browser


@pytest.fixture
def part(real_database):
    return tracked_part()


@pytest.fixture
def tablet(browser, network, part, engineer):
    """A page on a tablet behind a network that can be cut, on which the engineer tracks the part. It
    complains in its console while the network is cut, so that nobody watches that."""
    context = new_context(browser, network.address)
    page = context.new_page()
    sign_in(page, engineer.username, PASSWORD)
    track(page, part)
    yield page
    context.close()


def track(page, part) -> None:
    """Open the tracking page, and wait until the device keeps it."""
    page.goto(tracking_page(part))
    ready(page)
    wait_until_kept(page)


def ready(page) -> None:
    page.wait_for_selector("[data-tracking][data-ready]")


def waiting(page):
    return page.locator("#waiting")


def shows(page, *texts: str) -> None:
    """Wait until the list of what is not on the server shows all of that."""
    for text in texts:
        waiting(page).get_by_text(text).locator("visible=true").first.wait_for()


def looked(page, next_take: int) -> None:
    """Wait until the page shows the take that is over, from the server."""
    page.wait_for_selector(f"#tracking-now[data-take][data-next='{next_take}']:not([data-since])")


def all_is_sent(page) -> None:
    waiting(page).wait_for(state="hidden")


def test_presses_wait_through_a_reload_and_are_sent_once_and_in_order(tablet, network, part):
    network.cut()
    strike(tablet, "t")
    shows(tablet, "Take 1 starts", "provisional")
    tablet.reload()
    ready(tablet)
    strike(tablet, "m")
    shows(tablet, "Take 1 starts", "Take 1 mark: master", "The server can’t be reached")
    strike(tablet, "t")
    strike(tablet, "f")
    shows(tablet, "Take 2 starts", "Take 2 mark: false start")
    pressed = [time.get_attribute("datetime") for time in waiting(tablet).locator("time").all()]

    network.mend()
    all_is_sent(tablet)

    first, second = Take.objects.order_by("number")
    presses = [*first.presses.all(), *second.presses.all()]
    assert [press.what for press in presses] == [What.START, What.MARK] * 2
    assert [each.take_parts.get().mark for each in (first, second)] == [
        Mark.MASTER,
        Mark.FALSE_START,
    ]
    sent = [press.pressed_at.isoformat(timespec="milliseconds") for press in presses]
    assert [time.replace("+00:00", "Z") for time in sent] == pressed
    assert first.started_at <= first.ended_at <= second.started_at <= second.ended_at


def test_press_counts_before_the_disk_has_stored_the_one_before(tablet, network, part):
    """A busy disk may take seconds; what is encrypted comes late here, in its place."""
    tablet.evaluate("""() => {
      const encrypt = crypto.subtle.encrypt.bind(crypto.subtle);
      const stored = new Promise((done) => (window.store = done));
      SubtleCrypto.prototype.encrypt = (...given) => stored.then(() => encrypt(...given));
    }""")
    network.cut()
    for key in "tmt":
        strike(tablet, key)

    shows(tablet, "Take 1 starts", "Take 1 mark: master", "Take 2 starts")
    network.mend()
    assert not Take.objects.exists()  # nothing is sent that is not stored
    tablet.evaluate("window.store()")
    all_is_sent(tablet)

    first, second = Take.objects.order_by("number")
    assert (first.take_parts.get().mark, second.is_rolling) == (Mark.MASTER, True)


def test_presses_belong_to_who_pressed_them(tablet, network, part, engineer, assistant):
    tablet.context.clear_cookies(name="sessionid")
    strike(tablet, "t")
    shows(tablet, "You are signed out", "Take 1 starts")
    tablet.get_by_role("link", name="Sign in").click()
    wait_until(tablet, "caches.has('tracking-pages').then((kept) => !kept)")
    sign_in(tablet, assistant.username, PASSWORD)
    track(tablet, part)

    assert waiting(tablet).is_hidden()
    rows = """async (user) => {
      const open = indexedDB.open(`presses-${user}`);
      await new Promise((done) => (open.onsuccess = done));
      const asked = open.result.transaction("presses").objectStore("presses").getAll();
      await new Promise((done) => (asked.onsuccess = done));
      return asked.result.map((row) => new TextDecoder().decode(row.data));
    }"""
    [kept] = tablet.evaluate(rows, str(engineer.pk))
    assert "start" not in kept
    press(tablet, str(assistant), "Sign out")
    assert not Take.objects.exists()

    sign_in(tablet, engineer.username, PASSWORD)
    track(tablet, part)
    sees(tablet, "Rolling since")
    all_is_sent(tablet)

    take = Take.objects.get()
    assert (take.started_by, take.is_rolling) == (engineer, True)


def test_older_look_that_the_device_kept_is_not_shown_over_a_newer_one(tablet, network, part):
    """It is kept once its files are, which takes a while: the network may go before that."""
    tablet.evaluate("""async () => {
      const live = document.querySelector("[data-tracking]").dataset.live;
      window.older = await (await fetch(live)).text();
    }""")
    strike(tablet, "t")
    strike(tablet, "c")
    sees(tablet, "Take 1: complete")
    looked(tablet, next_take=2)
    tablet.wait_for_timeout(2000)  # two looks more, so that nothing is kept any longer
    network.cut()
    tablet.evaluate("""async () => {
      const live = document.querySelector("[data-tracking]").dataset.live;
      const headers = { "Content-Type": "text/html; charset=utf-8" };
      const pages = await caches.open("tracking-pages");
      await pages.put(live, new Response(window.older, { headers }));
    }""")
    tablet.locator("[data-says=away]").wait_for()
    tablet.wait_for_timeout(2000)

    strike(tablet, "h")

    shows(tablet, "Take 1 mark: hold")


def test_what_the_server_refuses_and_what_somebody_else_changed_stay_until_decided(
    tablet, network, part, assistant
):
    strike(tablet, "t")
    strike(tablet, "c")
    sees(tablet, "Take 1: complete")
    looked(tablet, next_take=2)
    network.cut()
    strike(tablet, "h")
    shows(tablet, "Take 1 mark: hold")
    strike(tablet, "t")
    shows(tablet, "Take 2 starts")
    take = Take.objects.get()
    of = take.take_parts.get()
    mark_take(take, seen={of.pk: of.version}, mark=Mark.NO_GOOD)
    take.session.status = Status.WRAPPED
    take.session.save()

    network.mend()

    shows(tablet, "No good", "Hold", "wrapped")
    press(waiting(tablet), "Use what was pressed here", "Remove")
    all_is_sent(tablet)
    of.refresh_from_db()
    assert of.mark == Mark.HOLD
    assert Take.objects.count() == 1
