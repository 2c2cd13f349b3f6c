"""Files that are small on the disk and large in memory."""

import io
import zlib

import pikepdf

MEGABYTE = b" " * (1 << 20)


def packed(megabytes: int) -> bytes:
    """That much of blanks, packed by and by, so that the tests themselves stay small."""
    packer = zlib.compressobj(1)
    return b"".join(packer.compress(MEGABYTE) for _ in range(megabytes)) + packer.flush()


def pdf_of_bombs(*, megabytes: int, attachments: int = 1) -> bytes:
    """A PDF whose attachments are JSON files by name, each of that size once it is unpacked."""
    pdf, made = pikepdf.new(), io.BytesIO()
    pdf.add_blank_page()
    swelling = packed(megabytes)
    for number in range(attachments):
        spec = pikepdf.AttachedFileSpec(pdf, b"{}")
        pdf.attachments[f"recall-{number}.json"] = spec
        spec.obj.EF.F.write(swelling, filter=pikepdf.Name.FlateDecode)
    pdf.save(made)
    return made.getvalue()
