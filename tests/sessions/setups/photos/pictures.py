"""Pictures as a tablet's camera makes them, with all that must not be kept."""

from io import BytesIO

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

PLACE = b"51 deg 12' N"
NOTE = b"taken in the live room by an unnamed tablet"


def camera_jpeg(size=(640, 480), *, orientation=1, kind="JPEG") -> bytes:
    """Its left half red, its right half blue, as it lies in the file."""
    image = Image.new("RGB", size, "blue")
    image.paste("red", (0, 0, size[0] // 2, size[1]))
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x010E] = NOTE.decode()
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 12.0, 0.0), 29: PLACE.decode()})
    further = {"icc_profile": b"a profile that names its maker", "xmp": b"<x:xmpmeta>" + NOTE}
    if kind == "JPEG":
        further["comment"] = NOTE
    written = BytesIO()
    image.save(written, kind, exif=exif, **further)
    return written.getvalue()


def uploaded(content: bytes, name="../../etc/camera.jpg") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content, "image/jpeg")
