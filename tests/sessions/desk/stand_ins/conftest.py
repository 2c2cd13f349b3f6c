from tests.sessions.bookings.stand_ins.conftest import (  # noqa: F401 (the same diary)
    book,
    day,
    leave,
    piran,
    ulric,
)
