"""Who may do what: every command and every button of the routers' own tables, by every kind of person.

What is refused leaves the tables as they were, tells nobody else anything, and shows no patient. What is allowed with
a patient leaves a line in the trail.
"""

from collections.abc import Iterator
from typing import Any

import pytest

from bot.conversation import commands, enrol, flows
from bot.conversation.staff import acts, router
from bot.conversation.staff.patients import SIDE
from bot.ports import Came
from core.guided import OTHER_SIDE
from core.records import Role
from core.store import SqlStore
from core.store.tables import metadata
from core.use_cases.enrolling import begin_beside
from core.use_cases.reporting import injection_told
from core.use_cases.rights import ANSWERS, REFUSED
from tests.bot.conversation.chat import Clinics, Kept, Patient
from tests.bot.conversation.staff.desk import Desk, days

NAMES = ("Pastry cook", "Bricklayer")
TRAFFIC = frozenset({"inbox", "outbox", "audits"})
OUTSIDERS = ("unknown", "left staff", "another patient")  # no staff, whatever they tap or type
STAFF = ("therapist", "lead", "colleague", "unconfirmed staff")
ROLES = ("patient", *STAFF, *OUTSIDERS)
MAY = {"therapist", "lead"}  # with the patient
LEAD_ONLY = {"t", "end", "gone"}  # about a colleague
OWN = {"i", "j", "a", "h", "zone"}  # about oneself or one's own list
REFUSALS = {
    **dict.fromkeys(OUTSIDERS[:2], frozenset({"stranger.way_in", "stranger.bad_code"})),
    **dict.fromkeys(("patient", "another patient"), frozenset({"button.old", "help.unknown_command"})),
    **dict.fromkeys(STAFF, frozenset({"therapist.refused", "therapist.old_button"})),
    "unconfirmed staff": frozenset({"therapist.unconfirmed"}),
}


_built: list[Kept] = []  # the clinic of the tests as it is before anybody does anything


class House:
    """One clinic with a chat of each role; the patient of the tests is the therapist's."""

    def __init__(self, clinic: Clinics) -> None:
        self.clinic = clinic
        self._ids: dict[str, str] = {}
        self.lead = Desk(clinic, "anna", lead=True)
        self.therapist = Desk(clinic, "ben")
        colleague = Desk(clinic, "cleo")
        self.people: dict[str, Patient] = {
            "lead": self.lead,
            "therapist": self.therapist,
            "colleague": colleague,
            "unconfirmed staff": Desk(clinic, "dora", confirmed=False),
            "left staff": Desk(clinic, "emil", lead=True, left_at=clinic.clock()),
            "unknown": Patient(clinic, "unknown"),
        }
        self.patient, other = (Patient(clinic, name) for name in NAMES)
        self.people |= {"patient": self.patient, "another patient": other}
        if _built:
            clinic.go_on_from(_built[0])
            return
        self.therapist.has_many(NAMES[0])
        colleague.has_many(NAMES[1])
        days(clinic, {self.patient: ["4, all", "4, all"], other: ["3, all", "3, all"]})
        _built.extend(filter(None, [clinic.keep()]))

    def of(self, role: str) -> str:
        """Their id, as the tables have it; "" for who has none."""
        if role not in self._ids:
            who = self.people[role]
            self._ids[role] = who.me.id if isinstance(who, Desk) else "" if role == "unknown" else who.person().id
        return self._ids[role]

    def tables(self, but: str) -> dict[str, set[tuple[Any, ...]]]:
        """Each row of each table as it is stored, sealed texts too; not the traffic and the trail, nor which
        question is open for `but` alone."""
        names = [table.name for table in metadata.sorted_tables if table.name not in TRAFFIC]
        rows = {name: set(self._query(f'SELECT * FROM "{name}"')) for name in names}
        rows["dialogues"] = {row for row in rows["dialogues"] if but not in row}
        return rows

    def trail(self, role: str) -> list[tuple[str, str | None]]:
        newest_first = "SELECT action, person_id FROM audits WHERE staff_id = ? ORDER BY id DESC"
        return self._query(newest_first, self.of(role))

    def _query(self, sql: str, *values: str) -> list[Any]:
        """The rows as the driver has them: the tables are read before and after each of some hundred deeds."""
        with self.clinic.store.reading() as uow:
            return list(uow.connection.connection.driver_connection.execute(sql, values))

    def does(self, role: str, came: Came, **fields: str) -> "Deeds":
        return Deeds(self, role, came, [fields])

    def is_refused(self, role: str, came: Came, each: list[dict[str, Any]]) -> "Deeds":
        """They do one after the other, and all of it is refused."""
        deeds = Deeds(self, role, came, each)
        deeds.check_refused()
        return deeds


class Deeds:
    """What somebody did, mostly one thing, and everything that came of it."""

    def __init__(self, house: House, role: str, came: Came, each: list[dict[str, Any]]) -> None:
        self.role, self.each, self.what = role, each, f"{role}: {each}"
        who, own = house.people[role], house.of(role)
        before, trail = house.tables(own), house.trail(role)
        queued = house.clinic.answers(who.address, [{"came": came} | fields for fields in each], keep=True)
        self.kinds = [message.kind for message in queued if message.address == who.address]
        self.shown = "\n".join(house.clinic.worded(each).text for each in queued if each.address == who.address)
        self.to_others = [message.kind for message in queued if message.address != who.address]
        self.changed = [name for name, rows in house.tables(own).items() if rows != before[name]]
        self.trail = house.trail(role)[: -len(trail) or None]

    def check_refused(self) -> None:
        assert len(self.kinds) == len(self.each), self.what
        did = zip(self.each, self.kinds, strict=True)
        taken = [(fields, kind) for fields, kind in did if kind not in REFUSALS[self.role]]
        assert not taken, self.what
        self.check_changed_nothing()

    def check_changed_nothing(self) -> None:
        assert self.changed == [], self.what
        assert self.to_others == [], self.what
        assert not [name for name in NAMES if name in self.shown], self.what


@pytest.fixture
def house(clinic: Clinics) -> House:
    return House(clinic)


def staff_buttons(house: House) -> Iterator[tuple[str, str]]:
    """(verb, data) of each button of staff: about the patient, about a member of staff, about oneself."""
    patient, colleague = house.of("patient"), house.of("colleague")
    for verb in sorted({*router.TAPS, *router.OF_A_PATIENT, *acts.VERBS}):
        if verb in LEAD_ONLY:
            yield verb, f"1.t.{verb}.{colleague}.number"
        elif verb == "a":
            yield verb, f"1.t.a.{Role.THERAPIST.value}"
        elif verb in OWN:
            yield verb, f"1.t.{verb}.0.{colleague}" if verb == "i" else f"1.t.{verb}.0"
        else:
            for arg in ("", ".3", ".id-1"):
                yield verb, f"1.t.{verb}.{patient}{arg}"


def every_command() -> list[str]:
    return sorted({*router.COMMANDS, *commands.COMMANDS, "start", "nonsense"})


def patient_buttons(house: House) -> Iterator[str]:
    """Each button of the patient's own messages: of their evenings, of every flow, of every command."""
    evening = house.patient.check_in(1).id
    for verb, value in (("p", "9"), ("s", "0"), ("c", ""), ("y", ""), ("n", ""), ("r", "yes"), ("r", "no")):
        yield f"1.{verb}.{evening}.{value}".rstrip(".")
    yield from (f"1.f.{flow}.{value}" for flow in sorted(flows.FLOWS) for value in ("yes", "7", "open", "last"))
    yield from (f"1.f.enrol.{step}.yes" for step in sorted(enrol._STEPS))
    yield from (f"1.m.{name}" for name in sorted(commands.COMMANDS))


@pytest.mark.parametrize("role", ROLES)
def test_a_button_of_staff_does_something_only_for_whoever_it_is_meant_for(house: House, role: str):
    refused: dict[bool, list[dict[str, Any]]] = {True: [], False: []}  # whether it is about a patient
    for verb, data in staff_buttons(house):
        if verb in OWN and role in MAY | {"colleague"} and (verb not in "ai" or role == "lead"):
            assert "therapist.refused" not in house.does(role, Came.TAP, data=data).kinds, data
        elif (verb in LEAD_ONLY and role == "lead") or (verb not in LEAD_ONLY | OWN and role in MAY):
            deed = house.does(role, Came.TAP, data=data)
            about = house.of("patient")
            touched = [person for _, person in deed.trail] == [about] * len(deed.trail) != []
            assert touched or not [name for name in NAMES if name in deed.shown] or verb == "t", data
            assert deed.changed == [], (data, "the first tap only asks")
        else:
            refused[verb not in OWN | LEAD_ONLY | {"y", "m"}].append({"data": data})
    house.is_refused(role, Came.TAP, refused[False])
    deeds = house.is_refused(role, Came.TAP, refused[True])
    if role == "colleague":
        assert deeds.trail == [(REFUSED, house.of("patient"))] * deeds.kinds.count("therapist.refused") != []


@pytest.mark.parametrize("role", ["unknown", "left staff", "unconfirmed staff"])
def test_a_command_means_nothing_from_who_is_not_or_not_yet_or_no_longer_here(house: House, role: str):
    house.is_refused(role, Came.COMMAND, [{"command": name} for name in every_command()])
    house.is_refused(role, Came.TAP, [{"data": f"1.m.{name}"} for name in every_command()])


@pytest.mark.parametrize("role", ["patient", "another patient"])
def test_a_command_shows_a_patient_to_no_other_patient(house: House, role: str):
    for name in sorted({*commands.COMMANDS, "start"}):
        for deed in (house.does(role, Came.COMMAND, command=name), house.does(role, Came.TAP, data=f"1.m.{name}")):
            assert NAMES[role == "patient"] not in deed.shown, deed.what
    of_staff = [name for name in every_command() if name not in commands.COMMANDS and name != "start"]
    house.is_refused(role, Came.COMMAND, [{"command": name} for name in of_staff])
    house.is_refused(role, Came.TAP, [{"data": f"1.m.{name}"} for name in of_staff])


@pytest.mark.parametrize("role", ["therapist", "colleague", "lead"])
def test_a_command_shows_patients_to_their_staff_alone(house: House, role: str):
    for name in every_command():
        for deed in (house.does(role, Came.COMMAND, command=name), house.does(role, Came.TAP, data=f"1.m.{name}")):
            assert set(deed.changed) <= {"dialogues"}, deed.what
            assert deed.to_others == []
            hidden = {"therapist": NAMES[1:], "colleague": NAMES[:1], "lead": ()}[role]
            assert not [one for one in hidden if one in deed.shown], deed.what
            assert deed.trail or not [one for one in NAMES if one in deed.shown], (deed.what, "not in the trail")


@pytest.mark.parametrize("role", [role for role in ROLES if role != "patient"])
def test_a_patients_button_does_nothing_for_anybody_else(house: House, role: str):
    buttons = list(patient_buttons(house))
    own = [f"1.m.{name}" for name in (commands.COMMANDS if role == "another patient" else router.COMMANDS)]
    house.is_refused(role, Came.TAP, [{"data": data} for data in buttons if data not in own])
    for data in (data for data in buttons if data in own):
        assert NAMES[0] not in house.does(role, Came.TAP, data=data).shown or role in MAY


@pytest.mark.parametrize("role", OUTSIDERS[:2])
def test_nothing_that_outsiders_type_shows_or_changes_anything(house: House, role: str):
    texts = (NAMES[0], "4, all", house.of("patient"), "yes", "CODE1", "caseload", "my hand is numb", "' OR 1=1 --")
    house.is_refused(role, Came.TEXT, [{"text": text} for text in texts])


def test_a_name_that_is_searched_for_is_found_among_ones_own_only(house: House):
    for role, name, found in (
        ("therapist", NAMES[0], True), ("therapist", NAMES[1], False), ("colleague", NAMES[0], False),
        ("colleague", NAMES[1], True), ("lead", NAMES[0], False), ("unconfirmed staff", NAMES[0], False),
    ):  # fmt: skip
        deed = house.does(role, Came.TEXT, text=name.upper())
        assert (name in deed.shown) == found, deed.what
        assert deed.changed == []
        assert bool(deed.trail) or not found


def injected(house: House) -> None:
    with house.clinic.store.writing() as uow:
        injection_told(house.clinic.app.work(uow), house.patient.person(), house.clinic.clock())
        uow.commit()
    house.clinic.work()


def with_both_sides(house: House) -> None:
    with house.clinic.store.writing() as uow:
        work, person = house.clinic.app.work(uow), house.patient.person()
        first, *_ = uow.diary.courses_of(person.id)
        begin_beside(work, person, OTHER_SIDE[first.side], 4, first.episode.started)
        uow.commit()


@pytest.mark.parametrize("verb", sorted(acts.VERBS))
def test_every_deed_that_is_carried_out_is_in_the_trail_under_its_own_name(house: House, verb: str):
    role = "lead" if verb == "n" else "therapist"
    desk = house.people[role]
    about = house.of("patient")
    if verb == "l":
        house.patient.types("my hand has gone numb")
    if verb == "look":
        injected(house)
    if verb == "ended":
        with_both_sides(house)
        (kind,) = desk.taps(f"1.t.{verb}.{about}{SIDE}left")
    else:
        (kind,) = desk.taps(f"1.t.{verb}.{about}")
    for _ in range(4):
        if kind == "therapist.act.choice":
            offered = next((data for data in desk.buttons().values() if f"1.t.{verb}." in data), None)
            (kind,) = desk.taps(offered) if offered else desk.types("3 sets")  # no weight to choose on the first steps
        elif kind == "therapist.act.typed":
            (kind,) = desk.types({"q": "42", "diary": "4/4"}.get(verb, "agreed on the phone"))
        elif kind == "therapist.act.confirm":
            (kind,) = desk.taps(next(data for data in desk.buttons().values() if data.startswith("1.t.y.")))
    assert kind == "therapist.act.done"
    action, person = house.trail(role)[0]
    assert action in ANSWERS | {"hand_over", "outcome"}  # the two are done, but settle no notice
    assert person == about


def test_the_tables_are_looked_at_for_real(sqlite_store: SqlStore):
    house = House(Clinics(sqlite_store))
    deed = house.does("patient", Came.TEXT, text="5, did 2")
    assert {"answers", "decisions", "check_ins", "courses"} <= set(deed.changed)
    deed = house.does("therapist", Came.TAP, data=f"1.t.o.{house.of('patient')}")
    assert deed.changed == []
    assert ("page", house.of("patient")) in deed.trail
    assert NAMES[0] in deed.shown
