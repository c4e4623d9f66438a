"""What replaying a clinic costs, by people: `python tests/benchmarks/bench_replay.py [people ...]`, SQLite, one core.

Each person has half a year of evenings. Printed: decisions a second of processor time (each is made twice: by itself,
and on the course lived again), the share of that time the rule alone takes in the same run, and the peak of Python's
memory on a run of its own. The time is to grow with the people, the peak hardly.
"""

import datetime as dt
import sys
import tempfile
import time
import tracemalloc
from pathlib import Path

from core.programme.file import default_programme, default_programme_text
from core.records import CheckInState
from core.rule import begin, decide
from core.store import SqlStore, open_store
from core.store.sealed import new_key
from core.use_cases.replaying import Sum, replay_person
from core.use_cases.work import Programmes
from tests.benchmarks.bench_decide import START, lived
from tests.builders import CLINIC, NOW, a_check_in, a_clinic, a_course, a_person, a_stored_decision

DAYS, SIZES = 182, (10, 100)
PROGRAMME = default_programme()
OTHER = PROGRAMME  # following another file costs the same


def fill(store: SqlStore, people: int) -> list[str]:
    """Everybody lives the same diary; nothing of replaying knows that."""
    diary, cases = lived(PROGRAMME, DAYS)
    made = [(before, decide(PROGRAMME, before, diary, today)) for before, today in cases]
    ids = []
    with store.writing() as uow:
        uow.clinics.save(a_clinic())
        uow.clinics.save_programme(PROGRAMME.version, default_programme_text(), NOW)
        for _ in range(people):
            person = a_person()
            course = a_course(person, programme_version=PROGRAMME.version, episode=begin(PROGRAMME, START, 5))
            uow.people.save(person)
            uow.diary.save_course(course)
            for evening, (before, decision) in zip(diary, made, strict=True):
                uow.diary.add_check_in(
                    a_check_in(
                        course, date=evening.date, state=CheckInState.ANSWERED, pain=evening.pain,
                        sets_done=evening.sets_done, sets_asked=evening.sets_asked,
                    )
                )  # fmt: skip
                uow.decisions.add(a_stored_decision(course, date=evening.date, before=before, decision=decision))
            ids.append(person.id)
        uow.commit()
    return ids


def replay(store: SqlStore, ids: list[str]) -> Sum:
    total, programmes = Sum(), Programmes(PROGRAMME)
    for person_id in ids:
        with store.reading() as uow:
            person = uow.people.get(person_id)
            assert person
            for one in replay_person(uow, programmes, person, NOW + dt.timedelta(days=DAYS), OTHER):
                total.add(one)
    return total


def rule_alone(people: int) -> float:
    """Seconds for the same decisions, the diary at hand and nothing stored."""
    diary, cases = lived(PROGRAMME, DAYS)
    start = time.process_time()
    for _ in range(2 * people):
        for episode, today in cases:
            decide(PROGRAMME, episode, diary, today)
    return time.process_time() - start


def main(sizes: tuple[int, ...] = SIZES) -> None:
    times = []
    for people in sizes:
        with tempfile.TemporaryDirectory() as folder:
            store = open_store(str(Path(folder) / "clinic.db"), new_key(), clinic_id=CLINIC)
            ids = fill(store, people)
            start = time.process_time()
            total = replay(store, ids)
            times.append(time.process_time() - start)
            tracemalloc.start()
            replay(store, ids)
            peak = tracemalloc.get_traced_memory()[1]
            tracemalloc.stop()
            store.close()
        assert total.agree == total.decisions == people * DAYS
        rule = rule_alone(people) / times[-1]
        rate = total.decisions / times[-1]
        print(f"{people:>6} people {rate:>8,.0f} decisions/s, the rule alone {rule:.0%}, peak {peak / 1e6:.1f} MB")
    if len(sizes) > 1:
        people, cost = sizes[-1] / sizes[0], times[-1] / times[0]
        print(f"{people:g} times the people take {cost:.1f} times as long")


if __name__ == "__main__":
    main(tuple(map(int, sys.argv[1:])) or SIZES)
