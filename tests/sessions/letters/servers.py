from django.core.mail.backends.locmem import EmailBackend


class GoneServer(EmailBackend):
    """Nobody listens."""

    def open(self):
        raise ConnectionRefusedError(111, "Connection refused")

    def send_messages(self, letters):
        self.open()
