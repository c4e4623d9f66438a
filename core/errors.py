"""One short tree of errors; each message says what was wrong, where, and what to do."""


class HoldlowerError(Exception):
    """Anything this program can explain to the person running it."""


class ProgrammeError(HoldlowerError):
    """A programme file is wrong; the message names the line or path, the field, the value and what was expected."""


class SettingsError(HoldlowerError):
    """A setting is missing or wrong; the message names it and what was expected."""


class StoreError(HoldlowerError):
    """The database cannot be reached, is too new, or refused a change."""


class NaiveTimeError(HoldlowerError):
    """A time without a zone reached a place that needs one."""
