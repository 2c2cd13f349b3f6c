from django.urls import reverse


def test_worker_stands_at_the_root_for_everybody_and_is_always_the_newest(client):
    answer = client.get(reverse("tracking_worker"))

    assert answer.status_code == 200
    assert answer.request["PATH_INFO"] == "/tracking-worker.js"
    assert answer.headers["Content-Type"] == "text/javascript"
    assert "no-store" in answer.headers["Cache-Control"]
