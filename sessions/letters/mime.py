"""A letter as an Internet message: text and HTML alike, its files, and calendar objects by RFC 6047."""

from email.charset import QP, Charset
from email.utils import parseaddr

from django.conf import settings
from django.core.mail import EmailMultiAlternatives

from sessions.letters.making import files_of
from sessions.letters.models import Letter, LetterFile

# Seven bits throughout: a server need not take eight (RFC 6047, section 2.4).
IN_SEVEN_BITS = Charset("utf-8")
IN_SEVEN_BITS.body_encoding = QP


def as_message(letter: Letter) -> EmailMultiAlternatives:
    """One Message-ID however often it is sent. Reads letter.files; costs a query.

    A single calendar object is an alternative of the text, which mail programs offer to apply, and a
    file, for those that do not. Several are no alternatives of one another: each is a file.
    """
    sender = letter.sender or settings.DEFAULT_FROM_EMAIL
    domain = parseaddr(sender)[1].rpartition("@")[2] or "localhost"
    message = EmailMultiAlternatives(
        letter.subject,
        letter.text,
        sender,
        [letter.to],
        headers={"Message-ID": f"<{letter.message_id}@{domain}>"},
    )
    message.encoding = IN_SEVEN_BITS
    files = files_of(letter)
    if letter.html:
        message.attach_alternative(letter.html, "text/html")
    calendars = [file for file in files if file.method]
    if len(calendars) == 1:
        message.attach_alternative(_content(calendars[0]), _type_with_method(calendars[0]))
    for file in files:
        message.attach(file.name, _content(file), _type_with_method(file))
    return message


def _type_with_method(file: LetterFile) -> str:
    return f"{file.content_type}; method={file.method}" if file.method else file.content_type


def _content(file: LetterFile) -> bytes | str:
    content = bytes(file.content)
    return content.decode() if file.content_type.startswith("text/") else content
