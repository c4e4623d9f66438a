"""`holdlower simulate`: how often the rule steps back wrongly and how late when it should, on a made-up cohort."""

import argparse
import asyncio
import multiprocessing
import random
import sys
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from functools import lru_cache, partial
from pathlib import Path

from bot.cli.streams import show_progress
from bot.drawing import Drawing
from bot.drawn.course import RuleFacts
from bot.wording.catalogue import text_in
from bot.wording.simulation import ablation_lines, picture_facts, report_lines
from core.errors import SettingsError
from core.programme import Programme
from core.programme.file import DEFAULT, load_programme, programme_at
from core.simulation.cohort import RULE, Sample, sample, without_each
from core.simulation.people import WEEK_DAYS, Model

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
        return await drawing.rule_picture(facts)
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
