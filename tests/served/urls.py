from django.contrib.auth.decorators import login_not_required
from django.urls import path

from studio.access import ALL, PAGES, PUBLIC
from studio.urls import handler500  # noqa: F401, as the studio has it
from studio.urls import urlpatterns as studio_pages


def fail(request, **what):
    """A page that fails with what it was sent in the message, as a database's may."""
    raise RuntimeError(f"The reel ran out: {what} {request.POST.get('new_password1')}")


PAGES |= {"fails": ALL, "secret_fails": PUBLIC}
urlpatterns = [
    path("fails/<int:pk>/", fail, name="fails"),
    path("shared/<str:token>/", login_not_required(fail), name="secret_fails"),
    *studio_pages,
]
