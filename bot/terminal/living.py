"""The twenty weeks of Fennel Lane, lived through the program's own use cases, a day at a time."""

import datetime as dt
from collections.abc import Iterator

from bot.run.app import App, SteppedClock
from bot.run.opening import CLINIC_ID
from bot.terminal.stories import DAYS, STORIES, Done, End, Life
from bot.terminal.stories import Said as Told
from bot.wording.catalogue import Text
from core.answers import understand
from core.model import DANGER
from core.ports import UnitOfWork
from core.records import CheckIn, CheckInState, Course, Due, Person, Staff, Status
from core.rule.override import Act, Override
from core.scores.prtee import score_of_total
from core.timetable import ONE_DAY, local_date
from core.use_cases.answering import Said, record
from core.use_cases.digesting import plan_digest
from core.use_cases.due import do_due
from core.use_cases.enrolling import begin_course
from core.use_cases.gathering import next_gate
from core.use_cases.leaving import go_away, leave
from core.use_cases.overriding import act, clear_stop
from core.use_cases.patient_file import add_note, record_outcome
from core.use_cases.reporting import danger_told, signs_denied, weight_felt
from core.use_cases.rights import DEALT_WITH, open_notices, require
from core.use_cases.work import Work

PATIENTS = "fennel-lane"  # the channel of people who are not there to read
THERAPIST = "therapist"
BEGINS = dt.datetime(2026, 3, 2, 9, tzinfo=dt.UTC)  # a Monday
MONDAY = BEGINS.replace(hour=7, minute=30) + DAYS * ONE_DAY  # when the therapist opens the chat
EVENING = dt.time(19)
SCORED_AFTER = (0, 6 * 7, 12 * 7)
BREAK = 9  # days
BULK = 500
LEASE_S = 60.0


class People:
    """Everybody of Fennel Lane, and the therapist, who is the lead too."""

    def __init__(self, app: App, clock: SteppedClock, text: Text, channel: str) -> None:
        self._app, self._clock, self._text = app, clock, text
        self._names = text("cli.demo.people").split(", ")
        self._lives = [Life(number, story) for number, story in enumerate(STORIES)]
        self._staff = Staff(
            THERAPIST, CLINIC_ID, channel, channel, text("cli.demo.therapist"), lead=True, therapist=True,
            language=text.language, zone=app.chats.clinic.zone, created_at=BEGINS,
        )  # fmt: skip

    def live(self) -> Iterator[int]:
        """Live from the first day to the last evening; gives the number of each day that is over, from 1."""
        with self._app.store.writing() as uow:
            uow.staff.save(self._staff)
            uow.commit()
        for day in range(DAYS):
            with self._app.store.writing() as uow:
                self._morning(self._at(uow, day, 9), day)
                self._evening(self._at(uow, day, 19), day)
                do_due(self._at(uow, day, 21, 5), Due.REMIND, BULK)
                uow.commit()
            yield day + 1
        with self._app.store.writing() as uow:
            uow.staff.save(plan_digest(self._staff, self._clock()))
            uow.commit()

    def _at(self, uow: UnitOfWork, day: int, hour: int, minute: int = 0) -> Work:
        self._clock.move_to(BEGINS.replace(hour=hour, minute=minute) + day * ONE_DAY)
        return self._app.work(uow)

    def _morning(self, work: Work, day: int) -> None:
        do_due(work, Due.CLOSE, BULK)
        for number, life in enumerate(self._lives):
            if life.story.joins == day:
                self._join(work, number, life)
            elif life.story.joins < day and (work.now.weekday() == 0 or _is_busy(life, day)):
                person = work.uow.people.get(_id(number))
                assert person
                self._treat(work, person, life, day)

    def _join(self, work: Work, number: int, life: Life) -> None:
        person = Person(
            id=_id(number), clinic_id=CLINIC_ID, channel=PATIENTS, address=_id(number), language=self._text.language,
            zone=self._staff.zone, evening=EVENING, status=Status.ENROLLING, created_at=work.now,
            name=self._names[number], therapist_id=THERAPIST,
        )  # fmt: skip
        work.uow.people.save(person)
        begin_course(work, person, {"side": life.side, "rating": life.first_rating()})
        self._score(work, person, life, life.story.joins)

    def _treat(self, work: Work, person: Person, life: Life, day: int) -> None:
        """What the therapist does about one person in the morning."""
        if day in life.story.notes:
            add_note(work, self._staff, person, self._text(life.story.notes[day]))
        for told_on, told in life.story.says.items():
            if told.cleared and day == told_on + told.cleared:
                clear_stop(work, self._staff, person, self._text("cli.demo.why.cleared"))
        if done := life.story.acts.get(day):
            act(work, self._staff, person, _override(work, person, done), self._text(done.why))
        self._score(work, person, life, day)
        if work.now.weekday() == 0 and open_notices(work, person):
            require(work, self._staff, person, DEALT_WITH)

    def _score(self, work: Work, person: Person, life: Life, day: int) -> None:
        if life.story.scored and day - life.story.joins in SCORED_AFTER:
            record_outcome(work, self._staff, person, score_of_total(life.total(day)))

    def _evening(self, work: Work, day: int) -> None:
        do_due(work, Due.ASK, BULK)
        _deliver(work)
        for number, life in enumerate(self._lives):
            person = work.uow.people.get(_id(number))
            course = work.uow.diary.course_of(_id(number))
            if person and course and not self._goes(work, person, life, day):
                check_in = work.uow.diary.check_in_on(course.id, local_date(work.now, person.zone))
                if check_in and check_in.state is CheckInState.ASKED:
                    self._answer(work, person, course, check_in, life, day)

    def _goes(self, work: Work, person: Person, life: Life, day: int) -> bool:
        if life.story.ends is None or day != life.story.ends[1]:
            return False
        if life.story.ends[0] is End.AWAY:
            go_away(work, person, local_date(work.now, person.zone) + BREAK * ONE_DAY)
        elif life.story.ends[0] is End.LEFT:
            leave(work, person)
        return True

    def _answer(
        self, work: Work, person: Person, course: Course, check_in: CheckIn, life: Life, day: int
    ) -> None:
        told = life.story.says.get(day)
        pain = life.pain(day, moved_up=course.episode.since == check_in.date and day > life.story.joins)
        if pain is None:
            return
        said = Said(pain, life.sets(day, check_in.sets_asked))
        if told and told.flag in DANGER:
            danger_told(work, person, self._in_words(said, told), work.now, check_in)
        else:
            recorded = record(work, person, course, check_in, said)
            if recorded.decision and recorded.decision.ask_red_flags:
                them = work.uow.people.get(person.id) or person
                signs_denied(work, them, work.uow.diary.course_of(person.id) or course)
            elif recorded.decision and recorded.decision.ask_weight:
                now = work.uow.diary.course_of(person.id) or course
                felt = life.felt(now.episode, day)
                weight_felt(work, work.uow.people.get(person.id) or person, now, recorded.check_in, felt)

    def _in_words(self, said: Said, told: Told) -> Said:
        words = self._text(told.words)
        urgency = understand(words, self._text.language).urgency
        return Said(said.pain, said.sets_done, told.flag, text=words, urgency=urgency)


def _deliver(work: Work) -> None:
    """Everything on its way has arrived: the questions, and what the therapist was told since last evening."""
    while items := work.uow.sending.claim(work.now, BULK, CLINIC_ID, LEASE_S):
        for item in items:
            work.uow.sending.sent(item.id, work.now, None)


def _is_busy(life: Life, day: int) -> bool:
    """Whether the therapist does anything about that person today."""
    story = life.story
    cleared = (told_on + (told.cleared or 0) for told_on, told in story.says.items())
    return day in story.notes or day in story.acts or day in cleared or day - story.joins in SCORED_AFTER


def _id(number: int) -> str:
    return f"patient-{number + 1}"


def _override(work: Work, person: Person, done: Done) -> Override:
    course = work.uow.diary.course_of(person.id)
    assert course
    if done.act is Act.PIN:
        return Override(Act.PIN, until=local_date(work.now, person.zone) + int(done.by) * ONE_DAY)
    if done.act is Act.GATE:
        gate = next_gate(work.programme_of(course), course.episode)
        assert gate
        return Override(Act.GATE, step=gate.step, gate=(gate.programme or 0) + done.by)
    return Override(done.act)
