"""Debian's Chromium, and an eye on everything that a page does and should not."""

import shutil
from contextlib import contextmanager

FLAGS = (  # no first-run pages, no updates, no calls home
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
PROGRAMS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
# No name but this machine's is looked up, so a page that asks elsewhere gets nothing.
AT_HOME = "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE localhost, EXCLUDE 127.0.0.1"
WIDE, TABLET = {"width": 1280, "height": 900}, {"width": 820, "height": 1180}


def chromium() -> str | None:
    """The path of the first browser that is installed."""
    return next(filter(None, map(shutil.which, PROGRAMS)), None)


def launched(playwright):
    """A headless browser on a fresh profile."""
    return playwright.chromium.launch(executable_path=chromium(), args=[*FLAGS, AT_HOME])


def new_context(browser, address: str, **options):
    """A window of its own, with its own cookies, on the studio at `address`."""
    options = {"viewport": WIDE, "color_scheme": "light", "reduced_motion": "reduce"} | options
    context = browser.new_context(
        base_url=address, locale="en-GB", timezone_id="Europe/London", **options
    )
    context.set_default_timeout(15_000)
    return context


def sign_in(page, user_name: str, password: str) -> None:
    """Come in through the door, as people do."""
    page.goto("/sign-in/")
    page.get_by_label("Username").fill(user_name)
    page.get_by_label("Password").fill(password)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url("**/")


def wait_until(page, condition: str) -> None:
    """Until what a script promises is so."""
    again = "await new Promise((done) => setTimeout(done, 50))"
    page.evaluate(f"async () => {{ while (!(await ({condition}))) {again}; }}")


def wait_until_kept(page) -> None:
    """Until the device has all that opens this page off line."""
    wait_until(page, "caches.match(location.href, { ignoreVary: true })")


@contextmanager
def touched(page):
    """For as long, what points at the page is a finger: `pointer: coarse`."""
    devtools = page.context.new_cdp_session(page)
    devtools.send("Emulation.setTouchEmulationEnabled", {"enabled": True})
    yield
    devtools.send("Emulation.setTouchEmulationEnabled", {"enabled": False})
    devtools.detach()


class Watch:
    """Writes down console errors (violations of the policy among them), errors that no script
    caught, and requests to anywhere but the studio's own address."""

    def __init__(self, address: str):
        self.address = address
        self.seen: list[str] = []

    def over(self, context) -> None:
        context.on("console", self._said)
        context.on("weberror", lambda error: self._note(error.page, f"uncaught: {error.error}"))
        context.on("request", self._asked)

    def _said(self, message) -> None:
        if message.type == "error":
            self._note(message.page, message.text)

    def _asked(self, request) -> None:
        own = request.url.startswith((f"{self.address}/", "data:", "blob:"))
        if not own:
            self.seen.append(f"a request left the studio: {request.url}")

    def _note(self, page, what: str) -> None:
        self.seen.append(f"{page.url if page else 'a closed page'}: {what}")
