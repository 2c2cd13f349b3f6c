from django.db import models


class Category(models.TextChoices):
    MICROPHONE = "microphone", "Microphone"
    SUPPLY = "supply", "Microphone supply"
    DI_BOX = "di_box", "DI box"
    PREAMPLIFIER = "preamplifier", "Preamplifier"
    EQUALISER = "equaliser", "Equaliser"
    COMPRESSOR = "compressor", "Compressor"
    CHANNEL = "channel", "Console channel"
    CONVERTER = "converter", "Converter"
    HEADPHONES = "headphones", "Headphone amplifier"
    EFFECT = "effect", "Effect"
    AMPLIFIER = "amplifier", "Instrument amplifier"
    SPLITTER = "splitter", "Splitter"
    OTHER = "other", "Other"


class Transducer(models.TextChoices):
    CONDENSER = "condenser", "Condenser"
    VALVE = "valve", "Valve condenser"
    DYNAMIC = "dynamic", "Moving coil"
    RIBBON = "ribbon", "Ribbon"
    ACTIVE_RIBBON = "active_ribbon", "Active ribbon"


class Phantom(models.TextChoices):
    NEEDED = "needed", "Needs phantom power"
    HARMLESS = "harmless", "Unaffected by phantom power"
    HARMFUL = "harmful", "Keep phantom power off"


class SignalLevel(models.TextChoices):
    MICROPHONE = "microphone", "Microphone"
    LINE = "line", "Line"
    INSTRUMENT = "instrument", "Instrument"
    SPEAKER = "speaker", "Speaker"
    DIGITAL = "digital", "Digital"


class UnitState(models.TextChoices):
    IN_SERVICE = "in_service", "In service"
    ON_THE_BENCH = "on_the_bench", "On the bench"
    RETIRED = "retired", "Retired"


class FaultState(models.TextChoices):
    OPEN = "open", "Open"
    WORKED_ON = "worked_on", "Being worked on"
    CLOSED = "closed", "Closed"
