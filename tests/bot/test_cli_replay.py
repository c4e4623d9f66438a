"""`holdlower replay` as the clinic lead runs it: what is printed, the exit code, and that nothing is written."""

import io
import sqlite3
from argparse import Namespace
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from bot.cli import main
from bot.cli.commands import WRONG
from bot.cli.replay import DISAGREES, replay_stored
from bot.settings import load_settings
from bot.settings.file import read_or_make_keys
from core.model import Move
from core.store import SqlStore, open_store
from tests.builders import a_folder
from tests.core.use_cases.test_replaying import programme
from tests.core.use_cases.world import MORNING, World

pytestmark = pytest.mark.long

# two evenings three points up are a flare, and nothing else calls anybody back
JUMPY = {"flare.allowance": "1", "flare.limit": "4", "flare.daily_cap": "2"}


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture
def world(own_home: Path) -> Iterator[World]:
    """A clinic's database in a home of its own, with a bricklayer who flared and a cellist who did not."""
    settings = load_settings({"HOME": str(own_home)})
    file(settings.database).parent.mkdir(parents=True, exist_ok=True)
    store = open_store(settings.database, read_or_make_keys(settings.key_file))
    clinic = World(store, programme=programme(JUMPY))
    live(clinic, "cellist", "44344434")
    live(clinic, "bricklayer", "4443444377654444")
    yield clinic
    store.close()


def file(database: str) -> Path:
    return Path(database.removeprefix("sqlite:///"))


def live(world: World, who: str, pains: str) -> None:
    """One rating an evening; who has lived before begins a little later."""
    first = (world.now.date() - MORNING.date()).days
    world.somebody(4, id=who)
    for day, pain in enumerate(pains, start=first):
        world.live_to(day, "19:10")
        world.answer(who, int(pain), 99)
    world.live_to(first + len(pains), "09:00")


@pytest.fixture
def deaf(tmp_path: Path) -> Path:
    """The same programme, but nothing is ever called a flare."""
    return a_folder(tmp_path, programme(JUMPY | {"flare.limit": "40"}).text)


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str]:
    code = main(["replay", *arguments])
    return code, capsys.readouterr().out


def everything(store: SqlStore, database: Path) -> dict[str, list[tuple[object, ...]]]:
    with closing(sqlite3.connect(database)) as connection:
        names = [row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return {name: connection.execute(f"SELECT * FROM {name}").fetchall() for name in names}


def test_by_their_own_programme_all_come_out_as_stored_and_nothing_is_written(
    world: World, tmp_path: Path, capsys: pytest.CaptureFixture[str]
):
    database = file(load_settings({"HOME": str(tmp_path)}).database)
    before = everything(world.store, database)

    code, said = run(capsys)

    stored = len(world.decisions("bricklayer")) + len(world.decisions("cellist"))
    assert code == 0
    assert f"this rule: {stored} of {stored}" in said
    assert "courses 0, decisions 0" in said
    assert "bricklayer" not in said, "who has no change is not listed"
    assert everything(world.store, database) == before


def test_another_programme_names_what_would_have_been_different_for_whom(
    world: World, deaf: Path, capsys: pytest.CaptureFixture[str]
):
    flare = next(each for each in world.decisions("bricklayer") if each.decision.move is Move.REGRESS)

    code, said = run(capsys, "--programme", str(deaf), "bricklayer")

    assert code == 0
    assert f"{flare.date}: back to step 1, would be: stay" in said
    assert "step at the end: 1, would be 2" in said
    assert "end on a higher step: 1, on a lower one: 0" in said
    assert "cellist" not in said
    _, short = run(capsys, "--programme", str(deaf))
    assert len(short.splitlines()) < len(said.splitlines())
    assert "would be different: courses 1," in short


def test_what_does_not_come_out_again_is_named_and_is_no_success(
    world: World, capsys: pytest.CaptureFixture[str]
):
    stored, older = world.decisions("cellist")[1:3]

    def forge(work):
        for each, version in ((stored, None), (older, "0")):
            work.uow.decisions.supersede(each.id)
            decision = replace(each.decision, move=Move.ADVANCE, rule_version=version or each.decision.rule_version)
            work.uow.decisions.add(replace(each, id=f"forged-{each.id}", decision=decision))

    world.do(forge)
    code, said = run(capsys)

    assert code == DISAGREES
    assert f"{stored.date}: DOES NOT COME OUT AS STORED (forged-{stored.id})" in said
    assert said.count("older rule, which is not kept: 1; by this rule each by itself comes out the same: 0") == 2


def test_progress_is_for_who_watches_only(world: World):
    options = Namespace(settings=None, programme=None, people=[])
    watched, piped = Terminal(), io.StringIO()

    replay_stored(options, io.StringIO(), watched)
    replay_stored(options, io.StringIO(), piped)

    assert watched.getvalue().split("\r")[1:] == ["0/2", "1/2", "2/2\n"]
    assert piped.getvalue() == ""


@pytest.mark.parametrize(
    ("arguments", "expected"),
    [
        (["nobody"], "nobody has this id"),
        (["--programme", "missing"], "no such folder"),
    ],
)
def test_what_cannot_be_found_is_said(
    world: World, arguments: list[str], expected: str, capsys: pytest.CaptureFixture[str]
):
    assert main(["replay", *arguments]) == WRONG
    assert expected in capsys.readouterr().err


def test_why_says_what_was_decided_on_a_day_with_numbers_and_sources(
    world: World, capsys: pytest.CaptureFixture[str]
):
    flare = next(each for each in world.decisions("bricklayer") if each.decision.move is Move.REGRESS)

    assert main(["why", "bricklayer", flare.date.isoformat()]) == 0
    said = capsys.readouterr().out
    assert "back to step 1 - flare: running excess 4 of 4, own level " in said
    assert "Points that call for a step back: 4 - a starting guess" in said
    assert "One day above: 5 - common practice" in said
    assert main(["why", "bricklayer"]) == 0
    assert "stay" in capsys.readouterr().out
    assert main(["why", "bricklayer", "2020-01-01"]) == 0
    assert "nothing was decided on 2020-01-01" in capsys.readouterr().out
    assert main(["why", "bricklayer", "yesterday"]) == WRONG
    assert "YYYY-MM-DD" in capsys.readouterr().err
    trail = world.read(lambda uow: uow.audit.latest("bricklayer"))
    assert [(each.action, each.staff_id) for each in trail] == [("decisions", "")] * 3
