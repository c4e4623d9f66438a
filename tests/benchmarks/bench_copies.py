"""What a copy costs those who write meanwhile, and how fast a change of keys is.

    python tests/benchmarks/bench_copies.py [people]

A database of so many people with a note each is copied and checked while a thread commits one row after the other.
Printed: seconds and size of the copy beside a plain copy of the file, flushed; the median and the longest commit before
and during it; texts a second renewed under a new key beside bare Fernet.
"""

import os
import shutil
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import median

from cryptography.fernet import Fernet

from core.store import SqlStore, open_store
from core.store.copies import back_up
from core.store.sealed import new_key
from tests.builders import a_note, a_person

PEOPLE = 30_000
NOTE = "the grip is stronger on the left " * 8
CALM_S = 2.0


def filled(url: str, key: bytes, people: int) -> SqlStore:
    store = open_store(url, key)
    with store.writing() as uow:
        for number in range(people):
            person = a_person(id=f"p{number}")
            uow.people.save(person)
            uow.people.add_note(a_note(person, text=NOTE))
        uow.commit()
    return store


@contextmanager
def writing(store: SqlStore) -> Iterator[list[float]]:
    """Somebody commits all the time; the list gathers how long each took, in milliseconds."""
    taken: list[float] = []
    stop = threading.Event()

    def run() -> None:
        number = 0
        while not stop.wait(0.002):
            number += 1
            began = time.perf_counter()
            with store.writing() as uow:
                uow.people.save(a_person(id=f"w{number}"))
                uow.commit()
            taken.append((time.perf_counter() - began) * 1e3)

    thread = threading.Thread(target=run)
    thread.start()
    try:
        yield taken
    finally:
        stop.set()
        thread.join()


def copied_plainly(source: Path, target: Path) -> float:
    began = time.perf_counter()
    shutil.copyfile(source, target)
    with target.open("rb") as file:
        os.fsync(file.fileno())
    return time.perf_counter() - began


def main(people: int) -> None:
    old, new = new_key(), new_key()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        url = f"sqlite:///{folder / 'clinic.sqlite'}"
        store = filled(url, old, people)
        with writing(store) as taken:
            time.sleep(CALM_S)
            calm = taken[:]
            taken.clear()
            began = time.perf_counter()
            contents = back_up(url, [old], folder / "copy.sqlite")
            took = time.perf_counter() - began
            busy = taken[:]
        store.close()
        plain = copied_plainly(folder / "copy.sqlite", folder / "plain.sqlite")
        print(f"copy and check: {took:.2f} s for {contents.size / 1e6:.0f} MB; a plain copy of it {plain:.2f} s")
        print(f"one commit: {median(calm):.2f} ms, longest {max(calm):.0f}; during the copy {median(busy):.2f} ms, "
              f"longest {max(busy):.0f} ({len(busy)} commits)")  # fmt: skip
        _keys(url, old, new)


def _keys(url: str, old: bytes, new: bytes) -> None:
    store = open_store(url, [new, old])
    began = time.perf_counter()
    count = store.reseal()
    took = time.perf_counter() - began
    store.close()
    first, second = Fernet(old), Fernet(new)
    token = first.encrypt(NOTE.encode())
    began = time.perf_counter()
    for _ in range(2000):
        second.encrypt(first.decrypt(token))
    bare = 2000 / (time.perf_counter() - began)
    print(f"change of keys: {count:,} texts, {count / took:,.0f} a second, file written anew included; "
          f"bare Fernet {bare:,.0f} ({count / took / bare:.2f})")  # fmt: skip


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else PEOPLE)
