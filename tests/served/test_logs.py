"""An error leaves a trace: its number on the page, all else in the log, and no secret in either."""

from tests.factories import PASSWORD

SECRET = "moored-at-the-third-bollard"


def test_error_is_found_by_its_number(served, engineer):
    studio = served()
    studio.sign_in(engineer.username, PASSWORD)

    answer = studio.ask("/fails/7/", {"new_password1": "herring-by-lamplight"})

    log = studio.log.read_text()
    number = answer.headers["X-Request-ID"]
    line = next(line for line in log.splitlines() if number in line)
    assert answer.status == 500
    assert number in answer.text
    assert "Something went wrong on our side" in answer.text
    assert f"request={number} user={engineer.pk} POST /fails/7/" in line
    assert "Traceback (most recent call last)" in log
    assert "RuntimeError: The reel ran out: {'pk': 7} …" in log
    assert "herring" not in log
    assert studio.cookies["sessionid"] not in log


def test_secret_address_is_in_no_log(served):
    studio = served()
    addresses = [f"/shared/{SECRET}/", f"/feeds/{SECRET}.ics", f"/feeds/{SECRET}.ic"]

    answers = [studio.ask(address).status for address in addresses]

    log = studio.log.read_text()
    assert answers == [500, 404, 404]
    assert SECRET not in log
    assert "GET /shared/-/" in log
    assert "GET /feeds/-.ics" in log
    assert "GET /feeds/…" in log
