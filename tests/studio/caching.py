"""What browsers and proxies may keep (RFC 9111; OWASP Session Management Cheat Sheet, "Web Content
Caching": `no-store` on all that is sensitive)."""

from django.utils.cache import cc_delim_re

#: Pages whose answers the browser that asked may keep: their validators say whether they are still the same.
MAY_BE_KEPT = {
    "deliverables:download",
    "feeds:calendar",
    "listening:light",
    "rooms:logo_picture",
    "setups:photo_file",
}


def assert_nobody_else_keeps(answer) -> None:
    """What may be kept at all is kept by the browser that asked, which asks again before it uses it."""
    said = set(cc_delim_re.split(answer["Cache-Control"]))
    if "no-store" not in said:
        page = answer.resolver_match.view_name
        assert page in MAY_BE_KEPT or answer["Content-Type"] == "application/pdf", page
        assert "private" in said, page
        assert "public" not in said, page
        assert "no-cache" in said or answer.has_header("ETag"), page
