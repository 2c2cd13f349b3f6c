"""Pictures of the demo. `python -m tests.browser.pictures FOLDER` makes the few that README.md shows;
with `--all`, one of every page at both widths, of some in the dark, and of every sheet of paper."""

import argparse
import io
import os
import socket
import subprocess
import sys
import tempfile
import time
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path
from urllib.error import URLError
from urllib.request import urlopen

import django
import pypdfium2
from django.urls import reverse
from PIL import Image
from playwright.sync_api import sync_playwright

from tests.browser.browsing import TABLET, WIDE, launched, new_context, sign_in

ROOT = Path(__file__).resolve().parent.parent.parent
LARGEST_BYTES = 150_000
IN_THE_DARK = {"takes:session", "setups:chain"}
PAPERS = {
    "recall-sheet": "recall:song_pdf",
    "session-report": "reports:session_pdf",
    "work-order": "sign_off:work_order_pdf",
}
# Name of the picture: page, who, window, light or dark, what is scrolled to.
FOR_README = {
    "today": ("home", "odile", WIDE, "light", None),
    "sessions": ("bookings:list", "odile", WIDE, "light", None),
    "stand-ins": ("stand_ins:open", "odile", TABLET, "light", None),
    "chain": ("setups:chain", "ulric", WIDE, "light", "#stage-3"),
    "set-chain": ("editor:chain", "ulric", TABLET, "light", "main h2"),
    "input-list": ("setups:input_list", "ulric", WIDE, "light", None),
    "recall": ("recall:song", "kerensa", WIDE, "light", None),
    "patched-now": ("setups:patched_now", "ulric", TABLET, "light", None),
    "takes": ("takes:session", "ulric", TABLET, "dark", None),
    "rebuild": ("rebuild:detail", "kerensa", TABLET, "light", None),
    "rough-mix": ("deliverables:detail", "kerensa", WIDE, "light", None),
}
PHONE = {"width": 390, "height": 844}
# And which of its pages, counted from nought.
PAPERS_FOR_README = {"recall-sheet": 5, "work-order": 0}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--all", action="store_true", help="every page and every sheet")
    asked = parser.parse_args()
    asked.folder.mkdir(parents=True, exist_ok=True)
    with (
        tempfile.TemporaryDirectory() as data,
        demo_served(data) as address,
        sync_playwright() as playwright,
    ):
        camera = Camera(launched(playwright), address)
        picture = picture_everything if asked.all else picture_for_readme
        picture(camera, asked.folder)


@contextmanager
def demo_served(data: str):
    """The demo as its command fills and serves it, on a database of its own; its address."""
    os.environ.update(DATA_DIR=data, DJANGO_SETTINGS_MODULE="studio.settings")
    os.environ.update(DJANGO_ALLOW_ASYNC_UNSAFE="true")
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        at = f"127.0.0.1:{free.getsockname()[1]}"
    demo = subprocess.Popen([sys.executable, "manage.py", "demo", "--address", at], cwd=ROOT)
    try:
        _wait_for(f"http://{at}/sign-in/", demo)
        django.setup()
        yield f"http://{at}"
    finally:
        demo.terminate()
        demo.wait()


def _wait_for(address: str, demo: subprocess.Popen, *, seconds: float = 180) -> None:
    """Raises RuntimeError when the demo ends, or answers nothing for so long."""
    until = time.monotonic() + seconds
    while demo.poll() is None and time.monotonic() < until:
        try:
            urlopen(address).close()  # noqa: S310 (our own address)
            return
        except URLError:
            time.sleep(0.3)
    raise RuntimeError(f"The demo does not answer at {address}.")


class Camera:
    """Browsers on which each of the demo's people has signed in once."""

    def __init__(self, browser, address: str):
        from studio.demo.people import PASSWORD
        from tests.browser.visits import demo_rows

        self.browser, self.address, self.password = browser, address, PASSWORD
        self.rows, self.pages = demo_rows(), {}

    def opened(self, name: str, who: str, query: str = "", *, window=WIDE, scheme="light"):
        """The page of that URL name, as that person sees it."""
        from tests.browser.visits import address

        if who not in self.pages:
            self.pages[who] = new_context(self.browser, self.address).new_page()
            if who:
                sign_in(self.pages[who], who, self.password)
        page = self.pages[who]
        page.set_viewport_size(window)
        page.emulate_media(color_scheme=scheme)
        page.goto(address(name, query, self.rows))
        return page

    def who_is_told(self):
        """What the manager sees who moves tomorrow's session by an hour."""
        page = self.opened("home", "odile")
        page.goto(reverse("bookings:edit", args=[self.rows["session to come"].pk]))
        for field in ("starts_at", "ends_at"):
            typed = page.locator(f"[name={field}]")
            later = datetime.fromisoformat(typed.input_value()) + timedelta(hours=1)
            typed.fill(f"{later:%Y-%m-%dT%H:%M}")
        page.get_by_role("button", name="Save").click()
        page.get_by_role("heading", name="Who is told").wait_for()
        return page

    def delivery(self):
        """What a recipient sees on a phone, who has just been sent a new link."""
        page = self.opened("deliveries:send_again", "ulric")
        page.get_by_role("button", name="Send new link").click()
        link = page.locator(".delivery-address").inner_text()
        phone = new_context(self.browser, self.address, viewport=PHONE, is_mobile=True).new_page()
        phone.goto(link)
        phone.get_by_role("button", name="Open").click()
        phone.get_by_role("heading", name="Listen").wait_for()
        return phone

    def paper(self, name: str) -> list[Image.Image]:
        """The pages of a paper, as a laser printer would set them down."""
        from tests.browser.visits import address

        page = self.opened("home", "ulric")
        answer = page.request.get(address(name, "", self.rows))
        while answer.status == 202:  # a long one is made by the worker
            time.sleep(0.5)
            answer = page.request.get(address(name, "", self.rows))
        sheets = pypdfium2.PdfDocument(answer.body())
        return [sheet.render(scale=110 / 72).to_pil() for sheet in sheets]


def picture_everything(camera: Camera, folder: Path) -> None:
    from tests.browser.visits import VISITS

    for name, who, query in VISITS:
        looks = [(WIDE, "light"), (TABLET, "light")]
        looks += [(TABLET, "dark"), (WIDE, "dark")] if name in IN_THE_DARK else []
        for window, scheme in looks:
            page = camera.opened(name, who, query, window=window, scheme=scheme)
            words = [name.replace(":", "-"), who, query.strip("?").partition("=")[0]]
            words += [str(window["width"]), "dark" if scheme == "dark" else ""]
            page.screenshot(path=folder / f"{'-'.join(filter(None, words))}.png", full_page=True)
    for paper, name in PAPERS.items():
        for number, sheet in enumerate(camera.paper(name), 1):
            sheet.save(folder / f"{paper}-{number}.png")


def picture_for_readme(camera: Camera, folder: Path) -> None:
    for picture, (name, who, window, scheme, part) in FOR_README.items():
        page = camera.opened(name, who, window=window, scheme=scheme)
        if part:
            page.locator(part).evaluate("part => part.scrollIntoView()")
        _save_small(Image.open(io.BytesIO(page.screenshot())), folder / f"{picture}.png")
    for picture, shown in {"who-is-told": camera.who_is_told, "delivery": camera.delivery}.items():
        _save_small(Image.open(io.BytesIO(shown().screenshot())), folder / f"{picture}.png")
    for paper, number in PAPERS_FOR_README.items():
        _save_small(camera.paper(PAPERS[paper])[number], folder / f"{paper}.png")


def _save_small(picture: Image.Image, path: Path) -> None:
    """With a palette, few bytes: it comes along with every clone."""
    picture.convert("RGB").quantize(64, dither=Image.Dither.NONE).save(path, optimize=True)
    if path.stat().st_size > LARGEST_BYTES:
        raise RuntimeError(f"{path} has {path.stat().st_size} bytes, more than {LARGEST_BYTES}.")


if __name__ == "__main__":
    main()
