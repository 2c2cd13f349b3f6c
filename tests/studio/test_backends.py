import pytest

from studio.roles import GRANTS, Role
from tests.factories import UserFactory

SEE_ALL = "studio_sessions.view_all_projects"


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("role", "granted"),
    [
        (Role.MANAGER, True),
        (Role.ENGINEER, True),
        (Role.ASSISTANT, True),
        (Role.MIX_ENGINEER, False),
    ],
)
def test_grant_follows_from_the_role(role, granted):
    assert UserFactory(role=role).has_perm(SEE_ALL) is granted


@pytest.mark.django_db
def test_nothing_is_granted_to_somebody_who_has_left():
    assert UserFactory(role=Role.MANAGER, is_active=False).has_perm(SEE_ALL) is False


@pytest.mark.django_db
def test_permission_without_a_row_is_nobodys():
    user = UserFactory(role=Role.MANAGER)

    assert "studio_sessions.delete_song" not in GRANTS
    assert user.has_perm("studio_sessions.delete_song") is False
