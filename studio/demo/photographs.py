"""Photographs of the demo: drawn, since its studio is nowhere."""

import random
from datetime import timedelta
from io import BytesIO

from django.core.files.base import ContentFile
from PIL import Image, ImageDraw, ImageFilter

from gear.editing.history import update_with_history
from sessions.setups.models import Photo, Setup, Subject
from sessions.setups.photos.actions import take_photo
from sessions.setups.photos.subjects import subjects_of
from studio.models import User
from studio.roles import Role

WIDTH, HEIGHT = 1600, 1200
INK, METAL, LIGHT = "#20262a", "#8d9396", "#f0e6c8"


def fill_photographs() -> None:
    """Of the first setup that takes went through: the floor, a rack, a microphone. And of the unit
    whose controls were logged least, two of which are to be read on its photograph."""
    recorded = list(
        Setup.objects.filter(chains__revisions__fixed_at__isnull=False)
        .distinct()
        .with_chains()
        .prefetch_related("groups")
        .order_by("session__starts_at", "position")
    )
    of_first = subjects_of(recorded[0]).values()
    _take(_first(of_first, Subject.FLOOR), _floor(), "From the door of the live room")
    _take(_first(of_first, Subject.RACK), _panels(4), "After the last take")
    _take(_first(of_first, Subject.PLACEMENT), _floor(1), "Height taken from the floor mark")
    chains = [chain for setup in recorded for chain in setup.chains.all()]
    stages = [stage for chain in chains for stage in chain.newest_revision().stages.all()]
    stage = max(stages, key=lambda stage: len(_missing(stage)))
    subjects = {key: photo for setup in recorded for key, photo in subjects_of(setup).items()}
    _take(subjects[stage.photo_key], _panels(1), "Settings as they stood")
    update_with_history(Photo.objects.exclude(unit=None), reads=_missing(stage)[:2])
    for photo in Photo.objects.select_related("setup__session"):
        ended = photo.setup.session.ends_at - timedelta(minutes=10)
        Photo.objects.filter(pk=photo.pk).update(taken_at=ended)


def _first(subjects, subject: str) -> Photo | None:
    return next((photo for photo in subjects if photo.subject == subject), None)


def _missing(stage) -> list[str]:
    return [each.key for each in stage.controls() if stage.setting(each) is None]


def _take(photo: Photo | None, picture: Image.Image, caption: str) -> Photo | None:
    if photo is None:
        return None
    written = BytesIO()
    picture.save(written, "JPEG")
    by = User.objects.filter(role=Role.ASSISTANT).first()
    return take_photo(photo, upload=ContentFile(written.getvalue()), caption=caption, by=by)


def _panels(count: int) -> Image.Image:
    """Units over each other in a rack, each with a row of knobs."""
    picture, draw, chance = _dark_room(count)
    height = min(420, (HEIGHT - 100) // count)
    top = (HEIGHT - count * height) // 2
    for unit in range(count):
        above = top + unit * height
        draw.rectangle((60, above + 8, WIDTH - 60, above + height - 8), fill=METAL, outline=INK)
        size = height // 5
        for knob in range(6):
            x, y = 220 + 230 * knob, above + height // 2
            draw.ellipse((x - size, y - size, x + size, y + size), fill=INK)
            turn = chance.uniform(-130, 130) - 90
            draw.pieslice((x - size, y - size, x + size, y + size), turn - 4, turn + 4, fill=LIGHT)
    return picture.filter(ImageFilter.GaussianBlur(2))


def _floor(stands: int = 5) -> Image.Image:
    """A floor with stands on it."""
    picture, draw, chance = _dark_room(stands + 10)
    draw.polygon([(0, 700), (WIDTH, 640), (WIDTH, HEIGHT), (0, HEIGHT)], fill="#7a5c3c")
    for stand in range(stands):
        x = WIDTH * (stand + 1) // (stands + 1)
        foot, top = 800 + chance.randrange(220), 330 + chance.randrange(160)
        draw.line((x, foot, x, top), fill=INK, width=14)
        draw.line((x - 90, foot + 40, x, foot - 40, x + 90, foot + 40), fill=INK, width=14)
        draw.line((x, top, x + 150, top - 50), fill=INK, width=12)
        draw.ellipse((x + 130, top - 90, x + 200, top - 10), fill=METAL, outline=INK, width=6)
    return picture.filter(ImageFilter.GaussianBlur(2))


def _dark_room(seed: int) -> tuple[Image.Image, ImageDraw.ImageDraw, random.Random]:
    light = Image.radial_gradient("L").resize((WIDTH, HEIGHT))
    picture = Image.composite(
        Image.new("RGB", light.size, "#22282b"), Image.new("RGB", light.size, "#c9b48c"), light
    )
    return picture, ImageDraw.Draw(picture), random.Random(seed)
