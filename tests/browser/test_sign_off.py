"""A client signs for overtime: drawn with the mouse, and what was drawn is what is kept."""

import pytest

from sessions.bookings.models import Status
from sessions.money.overtime.models import Overtime
from tests.browser.browsing import TABLET
from tests.browser.forms import press, sees
from tests.sessions.money.priced import priced_session

pytestmark = pytest.mark.browser


def draw(page, *places) -> None:
    """One line through these shares of the pad's width and height."""
    pad = page.locator(".signing-pad")
    pad.scroll_into_view_if_needed()
    box = pad.bounding_box()
    at = [(box["x"] + x * box["width"], box["y"] + y * box["height"]) for x, y in places]
    page.mouse.move(*at[0])
    page.mouse.down()
    for each in at[1:]:
        page.mouse.move(*each)
    page.mouse.up()


def test_overtime_is_signed_with_a_drawn_signature(page_of, engineer):
    session = priced_session(status=Status.UNDER_WAY)
    page = page_of(engineer.username, viewport=TABLET)
    page.goto(f"/sessions/{session.pk}/overtime/new/")
    page.get_by_role("link", name="+ 2 h").click()
    sees(page, "108.00 GBP")
    page.get_by_label("Name of the signer").fill("Ebba Quarrell")

    draw(page, (0.1, 0.8), (0.2, 0.2), (0.3, 0.8))
    draw(page, (0.9, 0.1), (0.1, 0.9))  # a slip
    page.get_by_role("button", name="Undo the last line").click()
    draw(page, (0.5, 0.5), (0.9, 0.4), (1.2, 0.4))  # over the edge
    press(page, "Approve the overtime")

    sees(page, "approved by Ebba Quarrell")
    first, second = Overtime.objects.get().signature.strokes
    wanted = [120, 320, 240, 80, 360, 320], [600, 200, 1080, 160, 1200, 160]
    for line, places in zip((first, second), wanted, strict=True):
        assert line == pytest.approx(places, abs=4)
