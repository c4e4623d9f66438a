"""`holdlower programme show` and `check`: a programme in words, every number with where it is from."""

import argparse

from bot.wording.catalogue import Text, text_in
from bot.wording.dose import dose_line, figure_words, step_name
from bot.wording.filling import misplaced
from core.errors import ProgrammeError
from core.model import Figure
from core.programme import Programme, Source, Topic
from core.programme.file import DEFAULT, programme_at
from core.use_cases.gathering import dose_facts

SECTIONS = ("every_day[", "equipment[")


def show(options: argparse.Namespace) -> int:
    """Print a programme for reading."""
    programme = programme_at(options.place or DEFAULT)
    text = text_in("en")
    print(f"{_title(programme)}  ({programme.version})")
    _print_figures(text, [each for each in programme.figures if each.name.startswith(SECTIONS)])
    for step in programme.steps:
        facts = dose_facts(programme, step.dose)
        name = step_name(text, facts.words, step.key)
        print(f"\n{text('therapist.step', number=step.number, name=name, key=step.key)}")
        print(f"    {text('therapist.dose', dose=dose_line(text, facts))}")
        prefix = f"step[{step.number}]."
        _print_figures(text, [each for each in programme.figures if each.name.startswith(prefix)])
    print(f"\n{text('therapist.rule')}")
    _print_figures(text, [each for each in programme.figures if each.name.startswith("rule.")])
    print(f"\n{text('therapist.told')}")
    for topic in (*programme.screens, *programme.education, *programme.questions, *programme.suggestions):
        print(f"    {_topic(topic)}")
    print(f"\n{text('therapist.sources')}")
    for source in programme.sources:
        print(f"    {_source(text, source)}")
    return 0


def check(options: argparse.Namespace) -> int:
    """Say that a programme is good, or raise ProgrammeError with everything that is wrong."""
    place = options.place
    programme = programme_at(place)
    if wrong := misplaced(programme):
        raise ProgrammeError("\n  ".join([f"{place} cannot be used; {len(wrong)} to mend:", *wrong]))
    facts = {"steps": len(programme.steps), "version": programme.version, "languages": ", ".join(programme.words)}
    print(text_in("en")("cli.programme.good", file=place, **facts))
    return 0


def _title(programme: Programme) -> str:
    return next((texts["title"] for texts in programme.words.values()), programme.name)


def _topic(topic: Topic) -> str:
    rows = ", ".join(row for row in topic.rows if row != topic.provenance.value)
    return f"{topic.key:<58}{topic.provenance.value}{f' {rows}' if rows else ''}"


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
