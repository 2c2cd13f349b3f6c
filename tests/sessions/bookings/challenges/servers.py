"""Mail servers that do not do as they are told."""

from smtplib import SMTPRecipientsRefused

from django.core.mail.backends.locmem import EmailBackend

UNKNOWN = "gone-away@cinder-walk.example"


class PickyServer(EmailBackend):
    """Takes every letter but those to one address."""

    def send_messages(self, letters):
        for letter in letters:
            if UNKNOWN in letter.to:
                raise SMTPRecipientsRefused({UNKNOWN: (550, b"No such mailbox")})
        return super().send_messages(letters)
