"""`holdlower programme show` and `check`: a programme in words, every number with where it is from.

And `holdlower simulate`: how often its rule steps back wrongly, and how late when it should, on a made-up cohort.
"""

import argparse
import asyncio
import multiprocessing
import random
import sys
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from functools import lru_cache, partial
from pathlib import Path

from bot.cli.opened import show_progress
from bot.drawing import Drawing
from bot.drawn.course import RuleFacts
from bot.wording.catalogue import Text, text_in
from bot.wording.dose import dose_line, step_name
from bot.wording.filling import misplaced
from bot.wording.reasons import figure_words
from bot.wording.simulation import ablation_lines, picture_facts, report_lines
from core.errors import ProgrammeError, SettingsError
from core.model import Figure
from core.programme import Programme, Source, Topic
from core.programme.file import DEFAULT, load_programme, programme_at
from core.simulation.cohort import RULE, Sample, sample, without_each
from core.simulation.people import Model
from core.use_cases.gathering import dose_facts
from core.weeks import WEEK_DAYS

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


CHUNK = 10  # people for one call of a process: they hold the model's mixture of noise
DRAWING_S = 60.0


def simulate(options: argparse.Namespace) -> int:
    """Let the cohort live, print the tables, and draw the picture where one is asked for."""
    text = text_in("en")
    origin, written = _programme(options.programme)
    programme = load_programme(written, origin)
    if options.picture is not None:
        _try_writing(options.picture)
    samples: list[Sample] = []
    for part in _lived(options, written):
        samples += part
        show_progress(sys.stderr, len(samples) // 2, options.people)
    print(text("cli.simulate.head", people=options.people, weeks=options.weeks, seed=options.seed,
               decisions=f"{_decisions(samples):,}", version=programme.version))  # fmt: skip
    print("\n".join(report_lines(text, samples)))
    if options.ablations:
        print("\n".join(ablation_lines(text, samples)))
    if options.picture is not None:
        _save(options.picture, asyncio.run(_drawn(picture_facts(text, samples))))
        print(text("cli.simulate.picture.done", file=options.picture))
    return 0


def cohort(written: str, people: int, weeks: int, seed: int, jobs: int, *, ablations: bool) -> Iterator[list[Sample]]:
    """The cohort part by part, always in the same order: `written` is the programme's text."""
    chunk = partial(_chunk, written, weeks * WEEK_DAYS, seed, ablations)
    parts = [range(first, min(first + CHUNK, people)) for first in range(0, people, CHUNK)]
    if jobs == 1:
        yield from map(chunk, parts)
        return
    with ProcessPoolExecutor(min(jobs, len(parts)), multiprocessing.get_context("spawn")) as pool:
        yield from pool.map(chunk, parts)


def _lived(options: argparse.Namespace, written: str) -> Iterator[list[Sample]]:
    return cohort(
        written, options.people, options.weeks, options.seed, options.jobs, ablations=options.ablations
    )


def _chunk(written: str, days: int, seed: int, ablations: bool, places: range) -> list[Sample]:
    rules = _rules(written, ablations)
    lived = (sample(rules, Model(), place, days, _chance(seed, place)) for place in places)
    return [one for both in lived for one in both]


@lru_cache(maxsize=2)
def _rules(written: str, ablations: bool) -> dict[str, Programme]:
    programme = load_programme(written)
    return {RULE: programme} | (without_each(programme) if ablations else {})


def _chance(seed: int, place: int) -> random.Random:
    """Each person's own, so that it does not matter who is simulated where and when."""
    return random.Random(f"{seed}/{place}")


def _programme(place: str | None) -> tuple[str, str]:
    """Its place and its text; nothing and the default programme's text where none is named."""
    return place or "", programme_at(place or DEFAULT).text


def _decisions(samples: list[Sample]) -> int:
    return sum(climb.decisions for one in samples for climb in one.climbs.values())


async def _drawn(facts: RuleFacts) -> bytes:
    drawing = Drawing(DRAWING_S)
    try:
        return await drawing.draw(facts)
    finally:
        drawing.close()


def _try_writing(file: Path) -> None:
    """That the picture can be kept is known before the cohort has lived for minutes; what is there stays as it is."""
    there = file.exists()
    try:
        with file.open("ab"):
            pass
        if not there:
            file.unlink()
    except OSError as error:
        raise SettingsError(f"{file} cannot be written ({error.strerror}); name another with --picture") from error


def _save(file: Path, picture: bytes) -> None:
    try:
        file.write_bytes(picture)
    except OSError as error:
        raise SettingsError(f"{file} cannot be written ({error.strerror}); name another with --picture") from error
