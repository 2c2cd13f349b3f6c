"""The other depth of a measurement: three tones, for the many chains of a day."""
