"""`holdlower programme show` and `check`: a programme file in words, every number with where it is from."""

from pathlib import Path

from bot.wording.catalogue import Text, text_in
from bot.wording.dose import dose_line, step_name
from bot.wording.reasons import figure_words
from core.errors import SettingsError
from core.model import Figure
from core.programme import Programme, Source
from core.programme.file import default_programme, load_programme
from core.use_cases.facts import dose_facts


def show(file: Path | None) -> int:
    """Print a programme for reading."""
    programme = _load(file) if file else default_programme()
    text = text_in("en")
    print(f"{programme.title}  ({programme.version})")
    for step in programme.steps:
        facts = dose_facts(programme, step.dose)
        print(f"\n{text('therapist.step', number=step.number, name=step_name(text, facts), key=step.key)}")
        print(f"    {text('therapist.dose', dose=dose_line(text, facts))}")
        prefix = f"step[{step.number}]."
        _print_figures(text, [each for each in programme.figures if each.name.startswith(prefix)])
    print(f"\n{text('therapist.rule')}")
    _print_figures(text, [each for each in programme.figures if not each.name.startswith("step[")])
    print(f"\n{text('therapist.sources')}")
    for source in programme.sources:
        print(f"    {_source(text, source)}")
    return 0


def check(file: Path) -> int:
    """Say that a file is good, or raise ProgrammeError with everything that is wrong."""
    programme = _load(file)
    steps = len(programme.steps)
    print(text_in("en")("cli.programme.good", file=file, steps=steps, version=programme.version))
    return 0


def _load(file: Path) -> Programme:
    try:
        return load_programme(file.read_text(encoding="utf-8"), str(file))
    except (OSError, UnicodeDecodeError) as error:
        raise SettingsError(f"{file}: cannot be read ({error}); expected a programme file in TOML, UTF-8") from error


def _print_figures(text: Text, figures: list[Figure]) -> None:
    for figure in figures:
        rows = ", ".join(row for row in figure.rows if row != figure.provenance.value)
        words = figure_words(text, figure.name, figure.value)
        print(f"    {words:<58}{figure.provenance.value}{f' {rows}' if rows else ''}")


def _source(text: Text, source: Source) -> str:
    if source.citation:
        return text(
            "therapist.source", key=source.key, citation=source.citation, known=source.known, note=source.note
        ).strip()
    return text("therapist.source.uncited", key=source.key, kind=source.kind.value, note=source.note)
