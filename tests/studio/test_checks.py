import pytest

from studio import checks
from studio.checks import (
    backups_have_a_place,
    nobody_else_may_read,
    proxies_are_named,
    proxy_may_read,
    token_is_long,
)


@pytest.fixture
def data(settings, tmp_path):
    settings.DATA_DIR = tmp_path
    tmp_path.chmod(0o700)
    (tmp_path / "secret_key").touch(mode=0o600)
    return tmp_path


def test_folder_of_its_owners_alone_is_nothing_to_speak_of(data):
    assert nobody_else_may_read(None) == []


@pytest.mark.parametrize(("wider", "mode"), [("", 0o750), ("secret_key", 0o604)])
def test_check_names_what_others_may_read(data, wider, mode):
    (data / wider).chmod(mode)

    [warning] = nobody_else_may_read(None)

    assert f"{data / wider} ({mode:o})" in warning.msg
    assert warning.hint == f"chmod -R go= {data}"


@pytest.mark.parametrize(
    ("top", "files", "said"),
    [(0o710, 0o750, []), (0o700, 0o750, ["studio.W003"]), (0o710, 0o770, ["studio.W001"])],
)
def test_proxy_that_sends_files_may_read_them_and_no_more(data, settings, top, files, said):
    settings.PROXY_SENDS_FILES, settings.MEDIA_ROOT = True, data / "files"
    (data / "files").mkdir()
    (data / "files").chmod(files)
    data.chmod(top)

    warnings = nobody_else_may_read(None) + proxy_may_read(None)

    assert [warning.id for warning in warnings] == said


@pytest.mark.parametrize(
    ("header", "trusted", "said"),
    [
        (None, [], []),
        (("HTTP_X_FORWARDED_PROTO", "https"), ["127.0.0.1"], []),
        (("HTTP_X_FORWARDED_PROTO", "https"), [], ["studio.W002"]),
    ],
)
def test_deploy_check_asks_for_the_proxy(settings, header, trusted, said):
    settings.SECURE_PROXY_SSL_HEADER, settings.TRUSTED_PROXIES = header, trusted

    assert [warning.id for warning in proxies_are_named(None)] == said


def test_folder_that_takes_no_backup_is_named_at_once(settings, tmp_path, monkeypatch):
    said = []
    for folder in ("", str(tmp_path), str(tmp_path / "not mounted")):
        settings.BACKUP_FOLDER = folder
        said += [warning.msg for warning in backups_have_a_place(None)]
    settings.BACKUP_FOLDER = str(tmp_path)
    monkeypatch.setattr(checks.os, "access", lambda path, mode: False)  # root may write anywhere
    said += [warning.msg for warning in backups_have_a_place(None)]

    into = f"No backup can be put into BACKUP_FOLDER, {tmp_path}"
    assert said == [
        f"{into}/not mounted: there is no such folder.",
        f"{into}: this account may not write there.",
    ]


@pytest.mark.parametrize(("token", "said"), [("", []), ("a" * 64, []), ("a" * 23, ["studio.W005"])])
def test_deploy_check_wants_a_token_that_nobody_guesses(settings, token, said):
    settings.METRICS_TOKEN = token

    assert [warning.id for warning in token_is_long(None)] == said
