"""The HTML of a paper as a tree that its typesetter takes: texts, and nodes with what they look like.

Only what our papers are made of is kept: of an image the drawing that its address holds, of a link
where it leads. Styles, scripts and addresses of anything else are left behind here.
"""

import base64
import binascii
import re
from collections.abc import Iterator
from urllib.parse import urljoin

from lxml import html

DRAWING = "data:image/svg+xml;base64,"
LEFT_OUT = frozenset({"head", "script", "style", "svg", "object", "embed", "iframe", "template"})
INLINE = frozenset({"a", "abbr", "b", "code", "em", "i", "img", "small", "span", "strong", "time"})
_SPACE = re.compile(r"[ \t\r\n\f]+")
_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f]")  # which show nothing


def paper_tree(markup: str, *, base_url: str) -> list[dict | str]:
    """What the body of a whole HTML document holds. Addresses of links are completed by base_url.

    White space is what HTML shows of it: one blank between words, none where a block begins or ends.
    """
    body = html.document_fromstring(markup).find("body")
    return _kids(body, base_url) if body is not None else []


def _node(element, base_url: str) -> dict:
    node = {"tag": element.tag, "classes": element.get("class", "").split()}
    match element.tag:
        case "img":
            node |= {"alt": element.get("alt", "")} | _drawing(element.get("src", ""))
        case "a":
            node["href"] = _address(element.get("href"), base_url)
        case "td" | "th":
            node |= {span: int(element.get(span, 1)) for span in ("colspan", "rowspan")}
    if element.get("id"):
        node["id"] = element.get("id")
    return node | {"kids": _kids(element, base_url)}


def _kids(element, base_url: str) -> list[dict | str]:
    kids: list[dict | str] = [element.text or ""]
    for child in element:
        if isinstance(child.tag, str) and child.tag not in LEFT_OUT:
            kids += [_node(child, base_url), ""]
        kids[-1] += child.tail or ""
    return list(_shown(kids, in_block=element.tag not in INLINE))


def _shown(kids: list[dict | str], *, in_block: bool) -> Iterator[dict | str]:
    """The kids without the white space that HTML doesn't show. Texts are those of even number."""
    for number, kid in enumerate(kids):
        if not isinstance(kid, str):
            yield kid
            continue
        text = _CONTROL.sub("", _SPACE.sub(" ", kid))
        if in_block if number == 0 else _is_block(kids[number - 1]):
            text = text.lstrip(" ")
        if in_block if number == len(kids) - 1 else _is_block(kids[number + 1]):
            text = text.rstrip(" ")
        if text:
            yield text


def _is_block(node: dict) -> bool:
    return node["tag"] not in INLINE


def _drawing(address: str) -> dict:
    """The SVG of one of our drawings; of any other picture nothing."""
    if not address.startswith(DRAWING):
        return {}
    try:
        return {"source": base64.b64decode(address.removeprefix(DRAWING)).decode()}
    except (binascii.Error, UnicodeDecodeError):
        return {}


def _address(address: str | None, base_url: str) -> str | None:
    """Within the paper as it stands (#chain-1), of a page in full, of anything else none."""
    if not address:
        return None
    if address.startswith("#"):
        return address
    full = urljoin(base_url, address)
    return full if full.startswith(("https://", "http://", "mailto:", "tel:")) else None
