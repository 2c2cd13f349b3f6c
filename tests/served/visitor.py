"""Somebody with a browser that runs no scripts: reads pages, fills in forms, presses their buttons."""

from urllib.parse import urljoin, urlsplit

from lxml import html

from tests.factories import PASSWORD
from tests.served.serving import Served


class Visitor:
    """`page` is what is shown, `here` its address. A page that is refused or fails is an error."""

    def __init__(self, studio: Served, host: str):
        self._studio, self._host, self._cookies = studio, host, {}
        self.here, self.page = "/", None

    def ask(self, address: str, facts=None, **how):
        """The answer to one request, with this visitor's cookies."""
        self._studio.cookies = self._cookies
        said = {"Host": self._host, "Referer": f"https://{self._host}{self.here}"}
        return self._studio.ask(address, facts, **said, **how)

    def open(self, address: str):
        return self._shown(address, self.ask(address))

    def sign_in(self, username: str):
        self.open("/sign-in/")
        return self.press("Sign in", username=username, password=PASSWORD)

    def press(self, button: str, **typed):
        """The button whose words these are, in the form where it stands, with what is in its other fields."""
        [found] = self.page.xpath("//form//button[normalize-space() = $words]", words=button)[:1]
        form = next(above for above in found.iterancestors("form"))
        fields = {}
        for name, value in form.form_values():
            fields.setdefault(name, []).append(value)
        if found.get("name"):
            fields[found.get("name")] = [found.get("value", "")]
        action = found.get("formaction") or form.get("action") or self.here
        address = urljoin(self.here, action)
        return self._shown(address, self.ask(address, fields | typed))

    def _shown(self, address: str, answer):
        for _ in range(5):
            if answer.status not in (301, 302):
                break
            there = urlsplit(urljoin(address, answer.headers["Location"]))
            address = there.path + (f"?{there.query}" if there.query else "")
            answer = self.ask(address)
        if answer.status != 200:
            raise AssertionError(f"{answer.status} of {address}: {words_of(answer.text)}")
        self.here, self.page = address, html.fromstring(answer.text)
        return self.page

    @property
    def words(self) -> str:
        return words_of(html.tostring(self.page, encoding="unicode"))


def words_of(text: str) -> str:
    page = html.fromstring(text or "<p>")
    for hidden in page.xpath("//script | //style | //head"):
        hidden.drop_tree()
    return " ".join(page.text_content().split())
