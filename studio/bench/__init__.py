"""What the studio promises under load, measured and raced on a database made for it and dropped."""
