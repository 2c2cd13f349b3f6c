"""The network between a browser and the server, which can be cut."""

import socket
from threading import Thread

HOST = "127.0.0.1"


class Cable:
    """Carries what comes to `port` to the port `to` of this machine, where the server may have ended
    and another begun meanwhile."""

    def __init__(self, to: int):
        self.to = to
        self.port = 0
        self.ends = set()  # of all connections that it carries
        self.mend()

    @property
    def address(self) -> str:
        return f"http://{HOST}:{self.port}"

    def mend(self) -> None:
        self.socket = socket.create_server((HOST, self.port))
        self.port = self.socket.getsockname()[1]
        Thread(target=self._take, args=(self.socket,), daemon=True).start()

    def cut(self) -> None:
        """Nothing comes through, nor does the rest of what is under way."""
        self.socket.shutdown(socket.SHUT_RDWR)
        self.socket.close()
        for end in list(self.ends):
            self._close(end)

    def _take(self, of: socket.socket) -> None:
        while True:
            try:
                near, _ = of.accept()
            except OSError:
                return  # cut
            try:
                far = socket.create_connection((HOST, self.to))
            except OSError:
                near.close()  # the server is away
                continue
            self.ends |= {near, far}
            for here, there in ((near, far), (far, near)):
                Thread(target=self._carry, args=(here, there), daemon=True).start()

    def _carry(self, here: socket.socket, there: socket.socket) -> None:
        try:
            while block := here.recv(1 << 16):
                there.sendall(block)
        except OSError:
            pass  # cut, or one of the two went
        self._close(here)
        self._close(there)

    def _close(self, end: socket.socket) -> None:
        self.ends.discard(end)
        try:
            end.shutdown(socket.SHUT_RDWR)
        except OSError:
            pass  # closed at the other end
        end.close()
