"""How somebody comes to sign in: by a link under which they choose their own password."""
