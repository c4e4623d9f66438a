"""What a therapist's whole week costs: facts, message, pictures and files, for 100 and for 1,000 patients.

    python tests/benchmarks/bench_digest.py [patients ...]

Everything is drawn in the child process, as in service. The caseload is twenty lived courses of 5 to 180 evenings,
each patient's with a rating of its own and gathered anew. Files are handed on as soon as they are made, so that
neither process ever holds more than one. Printed: seconds and peak memory of both processes, and the ratio of the
times. The aim is a ratio of at most 12 for ten times as many patients, and a peak that does not grow with them.
"""

import asyncio
import multiprocessing
import sys
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from bot.drawing import Drawing
from bot.wording.catalogue import text_in
from bot.wording.digest import digest_texts, numbered
from bot.wording.digest_file import file_facts
from bot.wording.digest_picture import WEEKS, panels_facts
from core.digest import digest, files, in_file, pictures
from core.digest.patient_week import PatientWeek
from tests.bot.digest_cases import HEAD, usual
from tests.caseload import MONDAY, Lived, a_standing

SIZES = (100, 1000)
TEXT = text_in("en")


def course_of(number: int) -> Lived:
    """One of twenty courses with one rating of its own, so that no two pictures are alike and none is shared."""
    course = usual()[number % 20][1]
    evenings = list(course.diary)
    place = number // 20 % len(evenings)
    evenings[place] = replace(evenings[place], pain=10 if number // 20 < len(evenings) else 9)
    return Lived(course.start, tuple(evenings), course.made)


def weeks(patients: int) -> Iterator[PatientWeek]:
    for number in range(patients):
        standing = a_standing(number, id=str(number), notices=usual()[number % 20][0].notices)
        yield course_of(number).week(standing)


async def one_week(drawing: Drawing, patients: int) -> tuple[int, int, int]:
    """Makes everything once; returns how many messages, pictures and bytes of files there were."""
    found = digest(weeks(patients), MONDAY)
    messages = digest_texts(TEXT, found)
    lines = {week.who.id: course_of(int(week.who.id)).line(WEEKS) for _, week in numbered(found)}
    size = 0
    for part in range(pictures(found)):
        await drawing.digest_picture(panels_facts(TEXT, found, lines, part))
    for part in range(files(found)):
        courses = {week.who.id: course_of(int(week.who.id)).line() for week in in_file(found, part)}
        size += len(await drawing.pdf(file_facts(TEXT, found, courses, HEAD, part)))
    return len(messages), pictures(found), size


def peak(pid: int | str = "self") -> float:
    """Megabytes a process has held at most; 0 where the system does not tell."""
    status = Path(f"/proc/{pid}/status")
    lines = status.read_text().splitlines() if status.exists() else []
    return next((int(line.split()[1]) / 1024 for line in lines if line.startswith("VmHWM")), 0.0)


async def main(sizes: tuple[int, ...]) -> None:
    usual()
    times = []
    for patients in sizes:
        drawing = Drawing()
        await one_week(drawing, 1)  # the child is there, its libraries and fonts read
        (child,) = multiprocessing.active_children()
        began = time.perf_counter()
        messages, pictures, size = await one_week(drawing, patients)
        times.append(time.perf_counter() - began)
        print(
            f"{patients:5} patients: {times[-1]:6.1f} s, {1000 * times[-1] / patients:4.0f} ms each; "
            f"{messages} messages, {pictures} pictures, {size / 1e6:.1f} MB of files; "
            f"peak {peak():.0f} MB here, {peak(child.pid or 0):.0f} MB in the child",
            flush=True,
        )
        drawing.close()
    if len(times) > 1:
        print(f"ratio of times {times[-1] / times[0]:.1f} for {sizes[-1] / sizes[0]:g} times as many")


if __name__ == "__main__":
    asyncio.run(main(tuple(map(int, sys.argv[1:])) or SIZES))
