"""What WeasyPrint leaves out of a tagged PDF, added before it is written (its `finisher`)."""

from collections.abc import Iterator

from django.conf import settings

#: ISO 14289-1, clause 5: what says that a file is PDF/UA-1; PDF/A wants its schema described.
PDF_UA = (settings.BASE_DIR / "templates/print/pdf_ua.xml").read_bytes()
RUNNING_HEAD = {"Type": "/Pagination", "Subtype": "/Header"}


def finish(document, pdf) -> None:
    stated = _object(pdf, pdf.catalog["Metadata"])
    stated.stream = [b"".join(stated.stream).replace(b"</rdf:RDF>", PDF_UA + b"</rdf:RDF>")]
    if "AF" in pdf.catalog:  # an attachment is listed twice
        pdf.catalog["AF"][:] = dict.fromkeys(pdf.catalog["AF"])
    for element in pdf.objects:
        match element.get("S") if isinstance(element, dict) else None:
            case "/TH":
                element["A"]["Scope"] = _scope(pdf, element)
            case "/Figure":
                element["A"]["BBox"][:] = _in_points(pdf, element, document.pages[0].height)
    _mark_running_heads(pdf)


def _scope(pdf, head) -> str:
    """A row of heads alone heads the columns."""
    row = [_object(pdf, cell)["S"] for cell in _object(pdf, head["P"])["K"]]
    return "/Column" if set(row) == {"/TH"} else "/Row"


def _in_points(pdf, figure, page_height: float) -> list[float]:
    """Its box, given in CSS pixels from the top, in points from the foot (ISO 32000-1, table 344)."""
    height = _object(pdf, figure["Pg"])["MediaBox"][3]
    left, top, right, bottom = (edge * height / page_height for edge in figure["A"]["BBox"])
    return [left, height - bottom, right, height - top]


def _mark_running_heads(pdf) -> None:
    """ISO 14289-1, 7.8: what stands in no element that is read is an artifact of the page."""
    root = _object(pdf, pdf.catalog["StructTreeRoot"])
    is_read = set(_elements(pdf, root["K"]))
    numbers = _object(pdf, root["ParentTree"])["Nums"]
    pages = [page for page in pdf.objects if isinstance(page, dict) and "StructParents" in page]
    for page in pages:
        elements = numbers[2 * page["StructParents"] + 1]
        unread = {mark for mark, element in enumerate(elements) if element not in is_read}
        stream = _object(pdf, page["Contents"]).stream
        for place, properties in enumerate(stream):
            if isinstance(properties, dict) and properties.get("MCID") in unread:
                elements[properties.pop("MCID")] = "null"
                properties.update(RUNNING_HEAD)
                stream[place - 1] = "/Artifact"


def _elements(pdf, kids) -> Iterator[bytes]:
    """References to all elements under these, in the order in which they are read."""
    for kid in kids:
        if isinstance(kid, bytes):
            yield kid
            yield from _elements(pdf, _object(pdf, kid).get("K", []))


def _object(pdf, reference: bytes):
    return pdf.objects[int(reference.split()[0])]
