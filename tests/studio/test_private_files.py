from studio.private_files import secret_key


def test_signing_key_is_made_once_in_a_folder_of_its_owners(tmp_path):
    data = tmp_path / "data"
    first = secret_key(data)

    assert secret_key(data) == first
    assert [path.name for path in data.iterdir()] == ["secret_key"]
    assert data.stat().st_mode & 0o777 == 0o700
