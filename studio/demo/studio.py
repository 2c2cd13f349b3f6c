"""What the demo's studio says of itself, and its logo: nine steps down to the water."""

from io import BytesIO

from PIL import Image, ImageDraw

from sessions.rooms.actions import set_logo
from sessions.rooms.models import Studio
from studio.models import User

FACTS = {
    "name": "Quay Steps Studio",
    "address": "9 Oakum Row\nOakum",
    "phone": "01632 960 200",  # kept for fiction
    "email": "desk@quay-steps.example",
    "sender": "desk@quay-steps.example",
    "directions": "The green door at the foot of the nine steps, opposite the weighbridge. "
    "Load in from the quay: the bollard nearest the door comes out between 08:00 and 22:00, "
    "ring to have it done. Park behind the net loft, five minutes on foot.",
    "registration_number": "00 000 009",
    "tax_number": "XX 000 0009",
    "bank_details": "Ropewalk Savings Bank\nAccount in the name of Quay Steps Studio\n"
    "Number XX00 0000 0000 0009",
}
INK, STEPS, TREAD, RISE, LEFT, TOP = "#20262a", 9, 40, 30, 60, 40  # pixels


def fill_studio(manager: User) -> None:
    """Call before anything is issued or written: that keeps what the studio was by then."""
    studio = Studio.objects.create(pk=1, **FACTS)
    set_logo(studio, version=studio.version, picture=_logo(), by=manager)


def _logo() -> bytes:
    picture = Image.new("RGB", (480, 400), "white")
    draw = ImageDraw.Draw(picture)
    foot = TOP + STEPS * RISE
    for step in range(STEPS):
        left, top = LEFT + step * TREAD, TOP + step * RISE
        draw.rectangle((left, top, left + TREAD - 5, foot), fill=INK)
    for row in range(2):
        y = foot + 25 + row * 30
        for left in range(LEFT, LEFT + STEPS * TREAD, 2 * TREAD):
            draw.arc((left, y, left + TREAD, y + 24), 0, 180, fill=INK, width=8)
            draw.arc((left + TREAD, y, left + 2 * TREAD, y + 24), 180, 360, fill=INK, width=8)
    written = BytesIO()
    picture.save(written, "PNG", optimize=True)
    return written.getvalue()
