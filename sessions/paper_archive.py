"""What makes a PDF one to be kept and to be read aloud: PDF/A-3a and PDF/UA-1 in one file.

WeasyPrint claims one of the two and does most of the work. Left to do:

- ISO 14289-1, 7.5: a header cell says whether it heads a column or a row.
- ISO 14289-1, 7.8: running heads and page numbers are artifacts; they were marked as content.
- ISO 14289-1, 5: the metadata say PDF/UA-1, and ISO 19005-3, 6.6.2.3.3, wants that word described.
- A file that the paper carries is listed once among the associated files.
"""

from importlib.resources import files

import pydyf
from django.conf import settings

VARIANT = "pdf/a-3a"
UA_CLAIM = settings.BASE_DIR / "templates/print/pdfua.xmp"
COLUMN, ROW = "/Column", "/Row"
PAGINATION = {"Type": "/Pagination"}


def write_archive(document, attachments=()) -> bytes:
    """The rendered document as such a PDF."""
    document.metadata = _claiming_ua(document.metadata)
    document.color_profiles["srgb"] = _colours()
    return document.write_pdf(
        pdf_variant=VARIANT,
        output_intent="",  # it is the profile above; WeasyPrint's way leaves its file open
        attachments=list(attachments),
        finisher=_finish,
    )


def _colours():
    """A new one for each document: asked again, a profile gives other bytes."""
    from weasyprint.css import ColorProfile

    with (files("weasyprint.pdf") / "sRGB2014.icc").open("rb") as file:
        rgb = (["r"], ["g"], ["b"])
        return ColorProfile(file, "sRGB2014.icc", "relative-colorimetric", rgb)


def _claiming_ua(metadata):
    from weasyprint.pdf.metadata import DocumentMetadata

    class Metadata(DocumentMetadata):
        def generate_rdf_metadata(self, *args, **kwargs):
            closing = b"</rdf:RDF>"
            written = super().generate_rdf_metadata(*args, **kwargs)
            return written.replace(closing, UA_CLAIM.read_bytes() + closing)

    return Metadata(**vars(metadata))


def _finish(_document, pdf: pydyf.PDF) -> None:
    elements = [item for item in pdf.objects if _is_element(item)]
    for element in elements:
        if element["S"] == "/TH":
            element["A"]["Scope"] = COLUMN if _stands_in_head(pdf, element) else ROW
    in_tree = _reached(pdf, pdf.objects[_number(pdf.catalog["StructTreeRoot"])])
    _make_artifacts(pdf, [element for element in elements if element.number not in in_tree])
    if "AF" in pdf.catalog:
        pdf.catalog["AF"] = pydyf.Array(dict.fromkeys(pdf.catalog["AF"]))


def _is_element(item) -> bool:
    return isinstance(item, dict) and item.get("Type") == "/StructElem"


def _stands_in_head(pdf: pydyf.PDF, element: pydyf.Dictionary) -> bool:
    row = pdf.objects[_number(element["P"])]
    return pdf.objects[_number(row["P"])]["S"] == "/THead"


def _number(reference: str | bytes) -> int:
    return int(reference.split()[0])


def _kids(element: pydyf.Dictionary) -> tuple[list[int], list[int]]:
    """Numbers of the elements below it, and of the marked content."""
    kids = element.get("K", ())
    elements = [_number(kid) for kid in kids if isinstance(kid, str | bytes)]
    return elements, [kid for kid in kids if isinstance(kid, int)]


def _reached(pdf: pydyf.PDF, root: pydyf.Dictionary) -> set[int]:
    found, ahead = set(), [root.number]
    while ahead:
        number = ahead.pop()
        found.add(number)
        ahead += _kids(pdf.objects[number])[0]
    return found


def _make_artifacts(pdf: pydyf.PDF, strays: list[pydyf.Dictionary]) -> None:
    """Turn the content of elements outside the tree into artifacts, of which the tree knows nothing."""
    root = pdf.objects[_number(pdf.catalog["StructTreeRoot"])]
    parents = pdf.objects[_number(root["ParentTree"])]["Nums"]
    for element in strays:
        page = pdf.objects[_number(element["Pg"])]
        stream = pdf.objects[_number(page["Contents"])].stream
        of_page = parents[2 * page["StructParents"] + 1]
        for marked in _kids(element)[1]:
            place = stream.index({"MCID": marked})
            stream[place - 1 : place + 1] = ["/Artifact", pydyf.Dictionary(PAGINATION)]
            of_page[marked] = "null"
