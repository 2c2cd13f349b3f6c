"""What crafted requests are made of: odd values, and the forms and parameters of the real pages."""

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from urllib.parse import urlsplit

from django.urls import Resolver404, resolve

ROOT = Path(__file__).resolve().parents[1]
NUMBERS = """-1 0 1 2 00 +7 99 101 1000 32768 2147483648 9223372036854775807 9223372036854775808
    -9223372036854775809 99999999999999999999 1e5 1e308 -1e400 1e-400 nan inf -inf 1.5 1,5 .5 0x10
    1_000 ٣ ² ½ 1.0000000000000000001 0.1e-2147483648"""
TIMES = """9999-12-31 0001-01-01 0000-00-00 1900-02-29 2026-02-30 2026-13-01 2262-04-12 10000-01-01
    -0001-01-01 2026-W53 2026-W53-7 20261127 31/12/9999 01/01/0001 9999-12-31T23:59
    0001-01-01T00:00 2026-03-29T01:30 2026-10-25T01:30 2026-11-27T24:00 2026-11-27T23:59:60
    2026-11-27T10:00+99:99 9999-12 0001-01 2026-00 24:00 25:61 00:00 23:59:59.999999 P1D P99999999Y
    FREQ=DAILY FREQ=DAILY;COUNT=99999999 FREQ=YEARLY;UNTIL=99991231T235959Z FREQ=SECONDLY
    FREQ=WEEKLY;INTERVAL=0 FREQ=MONTHLY;BYDAY=9MO FREQ=YEARLY;BYMONTH=13"""
WORDS = """[] {} [1,2 {"a":1} null true on off x y None undefined ' " \\ % %s %00 %d {{1}} {0} <b> &
    ../../etc/passwd /// //evil.example /[ /a%0d%0ab /\\\\x http://[ http://[::1 javascript:1 mailto:a ? # ; , | * . - --
    a=b&c=d é ﬁ 😀 ‮ \ufffe \u2028 ǅ İ ß U+0000 manager printed held wrapped complete master next <script>oakum"""
ODD = [
    *NUMBERS.split(),
    *TIMES.split(),
    *WORDS.split(),
    *[
        "",
        " ",
        "\n",
        "\t",
        "\r\n",
        "\0",
        "a\0b",
        "1\0",
        "\x1b",
        "9" * 400,
        "9" * 5000,
        "-" + "9" * 40,
    ],
    *["a" * 256, "a" * 10_000, "é" * 5_000, "a, " * 2_000, "1\n" * 2_000, "[" * 2_000, "((((" * 50],
]
RAW = ["%ED%A0%80", "%FF%FE", "%C0%80", "%", "%zz", "%F4%90%80%80", "%E2%80%AE", "a%0d%0ab"]
HEADERS = {
    "HX-Request": ["true", "false", "x"],
    "HX-Target": ["table", "é"],
    "HX-Current-URL": ["http://[", "http://localhost/songs/?page=2"],
    "Range": [
        "bytes=0-",
        "bytes=-5",
        "bytes=9-1",
        "bytes=99999999999999999999-",
        "bytes=x",
        "lines=1",
    ],
    "If-None-Match": ['"x"', "*", 'W/"', "x"],
    "If-Modified-Since": ["Sat, 31 Dec 9999 23:59:59 GMT", "x", "Thu, 01 Jan 0001 00:00:00 GMT"],
    "If-Range": ['"x"', "x"],
    "Accept-Language": ["x;q=9", "*", "de"],
    "Referer": ["http://[", "x"],
    "Content-Type": ["application/json", "text/plain", "multipart/form-data", "x", ""],
    "X-Forwarded-For": ["x", "1.2.3.4, ::1"],
}
USUAL = ["page", "per_page", "sort", "next", "q", "day"]  # parameters of pages in general


@dataclass(frozen=True)
class Form:
    """A form as it stands on a page: where it goes, and each field with what may be sent."""

    address: str
    method: str
    fields: tuple[tuple[str, tuple[str, ...]], ...]


def read_form(form, page_address: str) -> Form:
    fields = []
    for control in form.xpath(".//*[@name and not(@disabled)]"):
        name, kind = control.get("name"), control.get("type", "")
        if name == "csrfmiddlewaretoken":
            continue
        if control.tag == "select":
            chosen = [option.get("value") for option in control.xpath(".//option[@selected]")]
            values = [
                *chosen,
                *(option.get("value") or "" for option in control.xpath(".//option")),
            ]
        elif control.tag == "textarea":
            values = [control.text_content()] if control.text_content() else []
        elif kind == "file" or (kind in ("checkbox", "radio") and not control.get("value")):
            values = ["on"] if kind != "file" else []
        else:
            values = [control.get("value")] if control.get("value") else []
        fields.append((name, tuple(values)))
    address = form.get("action") or form.get("hx-post") or page_address
    if not address.startswith("/"):
        address = page_address + address
    return Form(address, form.get("method", "get").lower(), tuple(fields))


def page_of(address: str) -> str:
    try:
        return resolve(urlsplit(address).path).view_name
    except Resolver404:
        return ""


@cache
def names_in_code() -> frozenset[str]:
    """Every name that a view asks a request for, whether or not a form sends it."""
    asked = re.compile(r"(?:GET|POST)(?:\.get(?:list)?\(|\[)\"(\w+)\"")
    code = (path for part in ("gear", "sessions", "studio") for path in (ROOT / part).rglob("*.py"))
    names = {name for path in code for name in asked.findall(path.read_text())}
    return frozenset(names | set(USUAL))
