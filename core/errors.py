"""One short tree of errors; each message says what was wrong, where, and what to do."""


class HoldlowerError(Exception):
    """Anything this program can explain to the person running it."""


class ProgrammeError(HoldlowerError):
    """A programme file is wrong; the message names the line or path, the field, the value and what was expected."""


class LanguageError(HoldlowerError):
    """A file of a language is wrong; the message names it, the key and what was wrong with it."""


class SettingsError(HoldlowerError):
    """A setting is missing or wrong; the message names it and what was expected."""


class StoreError(HoldlowerError):
    """The database cannot be reached, is too new, or refused a change."""


class StoreTroubleError(StoreError):
    """The database is away, full, busy or ill: nothing is wrong with what was asked of it, and later it may pass."""


class UnreadableError(StoreError):
    """One row holds a value that cannot be read, by its `table` and `row` (its id, "" where that was not asked for)."""

    def __init__(self, table: str, row: str, column: str) -> None:
        super().__init__(f"{table} {row} {column} cannot be read; holdlower check says what to do")
        self.table, self.row, self.column = table, row, column


class RefusalError(HoldlowerError):
    """What a person asked for cannot be done; `problem` and `facts` let the catalogue say it in their language."""

    def __init__(self, message: str, problem: str, **facts: object) -> None:
        super().__init__(message)
        self.problem = problem
        self.facts = facts


class RightsError(RefusalError):
    """Somebody on the staff may not do this, or not with this person."""


class OverrideError(RefusalError):
    """An act of the therapist that cannot be done on this course now."""


class ScoreError(RefusalError):
    """A questionnaire's answers or total that cannot be read or scored."""


class NaiveTimeError(HoldlowerError):
    """A time without a zone reached a place that needs one."""
