"""What is sent is read only from who may send it, and only as much as the page takes."""

from django.urls import reverse

from tests.factories import PASSWORD, SongFactory

MUCH = 300 << 20
BLOCK = b"R" * (1 << 20)
BEGINNING = (
    b"--b\r\nContent-Disposition: form-data; name=file; filename=a.wav\r\n"
    b"Content-Type: audio/wav\r\n\r\n"
)


def send(studio, address, *, size=MUCH, length=True):
    """Send as much of a file of that size as is taken: the answer's first line, and all that was
    on the disk for it meanwhile."""
    how = f"Content-Length: {size}" if length else "Transfer-Encoding: chunked"
    cookies = "; ".join(f"{name}={value}" for name, value in studio.cookies.items())
    head = f"POST {address} HTTP/1.1\r\nHost: localhost\r\nCookie: {cookies}\r\n{how}\r\n"
    head += "Content-Type: multipart/form-data; boundary=b\r\n\r\n"
    sent, on_disk = len(BEGINNING), set()
    with studio.connect() as socket:
        socket.sendall(head.encode())
        try:
            socket.sendall(BEGINNING if length else b"%X\r\n%b\r\n" % (sent, BEGINNING))
            while sent < size:
                socket.sendall(BLOCK if length else b"100000\r\n" + BLOCK + b"\r\n")
                sent += len(BLOCK)
                on_disk |= set((studio.data / "incoming").iterdir())
        except OSError:
            pass  # answered, and shut
        socket.settimeout(30)
        return socket.makefile().readline().split()[1], on_disk


def test_nothing_of_a_strangers_body_is_on_the_disk(served):
    studio = served()

    answers = {
        address: send(studio, address)
        for address in (
            "/songs/1/uploads/",
            "/imported-sheets/",
            "/units/import/",
        )
    }

    assert set(map(str, answers.values())) == {"('302', set())"}


def test_sign_in_takes_a_form_and_no_more(served, engineer):
    studio = served()

    refused = send(studio, "/sign-in/", size=(64 << 10) + 1)
    said = studio.ask("/sign-in/", {"username": "a" * (64 << 10), "password": "b"})
    signed_in = studio.sign_in(engineer.username, PASSWORD)

    assert refused == ("413", set())
    assert (said.status, signed_in.status) == (413, 302)
    assert "It is larger than the 64.0" in said.text


def test_signed_in_one_writes_only_where_their_role_uploads(served, assistant):
    of_an_engineer, no_files, theme = "/units/import/", "/songs/", "/theme/"
    studio = served()
    studio.sign_in(assistant.username, PASSWORD)

    answers = [send(studio, address) for address in (of_an_engineer, no_files, theme)]

    assert answers == [("403", set()), ("413", set()), ("413", set())]


def test_body_without_a_length_is_not_read(served, engineer):
    studio = served()
    upload = reverse("uploads:create", args=[SongFactory().pk])
    stranger = send(studio, "/sign-in/", length=False, size=4 << 20)
    studio.sign_in(engineer.username, PASSWORD)

    assert [stranger, send(studio, upload, length=False)] == [("411", set())] * 2
