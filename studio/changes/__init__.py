"""Who changed what, when, from what to what: of one thing and its parts, and of the whole house."""
