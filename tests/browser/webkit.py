"""Debian's WebKit, which most tablets on consoles run, on a screen of its own.

Its driver has a mouse and no finger, and does not tell what a page writes into its console: those are
for Chromium (`browsing`). Off line is `network.cut()`. The functions wait, as people do.
"""

import importlib.util
import os
import shutil
import subprocess
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urljoin

from tests.browser.browsing import TABLET

DRIVER = "WebKitWebDriver"
PATIENCE = 15  # seconds
REQUIREMENTS = ("", " required", " optional")
TITLE_BAR = 38  # pixels of the window that are not the page's
ROOM = f"{TABLET['width']}x{TABLET['height'] + TITLE_BAR}x24"


def missing() -> str:
    """What has to be installed before it can be driven; empty when all is there."""
    if importlib.util.find_spec("selenium") is None:
        return "selenium is not installed: sh .ci/install tests"
    if not (shutil.which(DRIVER) and _browser()):
        return "there is no WebKit: apt-get install webkit2gtk-driver"
    return "" if shutil.which("Xvfb") else "there is no screen: apt-get install xvfb"


def _browser() -> Path | None:
    return next(Path("/usr/lib").glob("*/webkit2gtk-4.1/MiniBrowser"), None)


@contextmanager
def screen():
    """The name of a screen that nobody looks at."""
    reads, writes = os.pipe()
    command = ["Xvfb", "-displayfd", str(writes), "-screen", "0", ROOM, "-nolisten", "tcp"]
    with subprocess.Popen(command, pass_fds=[writes], stderr=subprocess.DEVNULL) as server:
        os.close(writes)
        with os.fdopen(reads) as number:
            yield f":{number.readline().strip()}"
        server.terminate()


@contextmanager
def window(screen: str, *, dark: bool = False):
    """A browser as large as a tablet, on a fresh profile: a driver of selenium's."""
    from selenium.webdriver import WebKitGTK
    from selenium.webdriver.webkitgtk.options import Options
    from selenium.webdriver.webkitgtk.service import Service

    options = Options()
    options.binary_location = str(_browser())
    options.add_argument("--automation")
    surroundings = os.environ | {
        "DISPLAY": screen,
        "GTK_THEME": "Adwaita:dark" if dark else "Adwaita",
        "WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS": "1",  # it refuses to start as root otherwise
    }
    driver = WebKitGTK(options, Service(shutil.which(DRIVER), env=surroundings))
    try:
        driver.set_window_size(TABLET["width"], TABLET["height"] + TITLE_BAR)
        driver.set_page_load_timeout(PATIENCE)
        yield driver
    finally:
        driver.quit()


def sign_in(driver, address: str, user_name: str, password: str) -> None:
    """Come in through the door, as people do."""
    driver.get(f"{address}/sign-in/")
    labelled(driver, "Username").send_keys(user_name)
    labelled(driver, "Password").send_keys(password)
    go_through(driver, button(driver, "Sign in"))


def goto(driver, path: str) -> None:
    """A page of the studio that it is on."""
    driver.get(urljoin(driver.current_url, path))


def until(driver, condition):
    """Wait for what the condition answers; what is replaced on the page meanwhile is asked again."""
    from selenium.common.exceptions import NoSuchElementException, StaleElementReferenceException
    from selenium.webdriver.support.ui import WebDriverWait

    passing = NoSuchElementException, StaleElementReferenceException
    return WebDriverWait(driver, PATIENCE, 0.05, passing).until(lambda _: condition())


def found(driver, path: str, within=None):
    """The first thing that the page, or a part of it, has at that XPath."""
    return until(driver, lambda: (within or driver).find_element("xpath", path))


def labelled(driver, label: str, within=None):
    """The field of that label, whether or not the label says that it is required."""
    said = " or ".join(f"normalize-space()='{label}{more}'" for more in REQUIREMENTS)
    name = found(driver, f".//label[{said}]", within).get_attribute("for")
    return _in_sight(driver, driver.find_element("id", name))


def button(driver, name: str, within=None):
    """The button that says that, and perhaps a key beside it."""
    path = f".//button[contains(normalize-space(), '{name}')]"
    return _in_sight(driver, found(driver, path, within))


def _in_sight(driver, thing):
    """In the middle of the window: at its very edge the driver says that nothing can be done there."""
    driver.execute_script("arguments[0].scrollIntoView({block: 'center'})", thing)
    return thing


def follow(driver, link: str) -> None:
    """The first link of that name."""
    go_through(driver, found(driver, f".//a[normalize-space()='{link}']"))


def go_through(driver, door) -> None:
    """Click on what leads to a page of another address, and wait until that is there."""
    before = driver.current_url
    door.click()
    until(driver, lambda: driver.current_url != before)


def sees(driver, *texts: str, within=None) -> None:
    """Wait until the page, or a part of it, says all of that."""

    def unseen():
        part = within or driver.find_element("tag name", "body")
        said = " ".join(part.get_property("innerText").split())
        return [text for text in texts if text not in said]

    try:
        until(driver, lambda: not unseen())
    except Exception:
        assert unseen() == []
        raise
