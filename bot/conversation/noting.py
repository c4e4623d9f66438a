"""An answer noted and told back, with what is asked beside it; what was read already is not asked for again."""

from dataclasses import replace

from bot.conversation import goals
from bot.conversation.talk import PersonTalk
from core.model import Decision
from core.records import CheckIn, CheckInState, Course, Status
from core.rule.course import is_stopped
from core.timetable import ONE_DAY
from core.understanding import Felt, Question, Unclear, Understanding
from core.use_cases.answering import Recorded, Said, is_complete, only_guided, record
from core.use_cases.coming_back import silence_before
from core.use_cases.deciding import as_told
from core.use_cases.gathering import decision_facts
from core.use_cases.reporting import weight_asked, weight_felt, weight_used

STOPS = frozenset({"danger", "danger.still", "override.still", "override.told"})
LAST_MESSAGES = 6


def note(
    talk: PersonTalk,
    course: Course,
    check_in: CheckIn,
    said: Said,
    heard: Understanding | None = None,
    *,
    changing: bool = False,
) -> None:
    """Record what was said and answer it: with what is still open, or with what it comes to."""
    talk.side = course.side
    first_half = talk.dialogue.facts if talk.dialogue.check_in_id == check_in.id else {}
    untold = bool(first_half.get("changed"))  # it was decided already, but what came of it not told yet
    grams = (heard.weight_g if heard else None) or int(first_half.get("grams", 0))
    recorded = record(talk.work, talk.person, course, check_in, said)
    talk.refresh()
    if changing and said.pain is not None and check_in.sets_asked:
        # a change of the rating by tapping goes on to the sets, as the evening's own question does
        talk.wait_for("evening", "change", check_in.id, changed=untold or recorded.decision is not None)
        talk.say("evening.sets", check_in=recorded.check_in)
    elif not is_complete(recorded.check_in):
        _ask_for_the_rest(talk, recorded.check_in, grams, tried(heard) if heard else [])
    else:
        talk.wait_for("", "", check_in.id)
        if untold and recorded.decision is None and (latest := talk.work.uow.decisions.latest(course.id)):
            recorded = replace(recorded, decision=latest.decision, changed=True)
        _tell(talk, course, recorded)
        if recorded.decision and not is_stopped(recorded.decision.after):
            _weigh(talk, talk.course() or course, recorded, grams, too_heavy=bool(heard and heard.too_heavy))
            if not (recorded.changed or recorded.decision.ask_weight or _open_tonight(talk)):
                goals.ask_if_due(talk)


def _ask_for_the_rest(talk: PersonTalk, check_in: CheckIn, grams: int, unclear: list[list[str]]) -> None:
    question = question_of(check_in)
    talk.wait_for("evening", question.value, check_in.id, **({"grams": grams} if grams else {}))
    if unclear:
        talk.say("evening.again", check_in=check_in, question=question.value, unclear=unclear)
    else:
        talk.say(f"evening.{question.value}", check_in=check_in)


def question_of(check_in: CheckIn) -> Question:
    """What is still to be asked of that evening; both once it is complete, since anything may then be changed.

    Both, too, where the sets are known from counting alone: the pain will do, and whoever did more may say so.
    """
    if is_complete(check_in) or only_guided(check_in):
        return Question.BOTH
    if check_in.pain is not None and check_in.sets_done is None and check_in.sets_asked:
        return Question.SETS
    if check_in.sets_done is not None and check_in.pain is None:
        return Question.PAIN
    return Question.BOTH


def tried(heard: Understanding) -> list[list[str]]:
    """What was tried and not taken; a part that was simply not said is asked for without a remark."""
    return [[question.value, why.value] for question, why in heard.unclear if why != Unclear.NOTHING]


def _tell(talk: PersonTalk, course: Course, recorded: Recorded) -> None:
    """What was noted, tomorrow's dose, and why."""
    decision = recorded.decision
    if decision is None:
        talk.say("change.same", check_in=recorded.check_in)
        return
    tonight = talk.work.uow.diary.latest_check_in(course.id)
    asked_since = tonight and tonight.date > recorded.check_in.date and tonight.state == CheckInState.ASKED
    if tonight and asked_since and not decision.ask_red_flags:
        # tonight's dose was given out already; what is left of the evening is its question
        talk.wait_for("evening", question_of(tonight).value, tonight.id)
        talk.say("change.earlier", check_in=recorded.check_in, tonight=tonight)
        return
    programme = talk.work.programme_of(course)
    latest = talk.work.uow.decisions.latest(course.id)
    before = latest.before if latest and latest.decision == decision else None
    if decision.ask_red_flags:
        talk.wait_for("red_flags", "", recorded.check_in.id)
    told = as_told(talk.work, course, decision)
    talk.say(
        "evening.outcome",
        check_in=recorded.check_in,
        decided=decision_facts(programme, told, before),
        changed=recorded.changed,
        again=stop_told(talk) if decision.dose is None else _same_reason(talk, course, decision),
        emergency=talk.emergency,
    )
    asks_already = decision.ask_red_flags or decision.dose is None or recorded.changed
    if asks_already or _other_answered(talk, recorded.check_in):
        return
    if silence_before(talk.work, course, recorded.check_in.date):
        ask_meanwhile(talk, course)


def stop_told(talk: PersonTalk) -> bool:
    """Whether one of the last messages told of the stop: it is told in full once, then in a line."""
    said = talk.work.uow.outbox.latest(talk.person.channel, talk.person.address, LAST_MESSAGES)
    return bool(STOPS & {*(each.kind for each in said), *(each.kind for each in talk.replies)})


def _same_reason(talk: PersonTalk, course: Course, decision: Decision) -> bool:
    """Whether the evening before was decided for the same reason, on the same step."""
    before = talk.work.uow.decisions.on(course.id, decision.date - ONE_DAY)
    if before is None or not (decision.reasons and before.decision.reasons):
        return False
    told, now = before.decision, decision
    return (told.reasons[0].code, told.step) == (now.reasons[0].code, now.step)


def _other_answered(talk: PersonTalk, check_in: CheckIn) -> bool:
    """Whether the other side's evening of that date was answered first: what is asked of both was asked with it."""
    others = (talk.work.uow.diary.check_in_on(each.id, check_in.date) for each in talk.courses())
    return any(each and each.id != check_in.id and is_complete(each) for each in others)


def ask_meanwhile(talk: PersonTalk, course: Course) -> None:
    """What they did of their sets; anything else lets the question drop, and its buttons still work for some days."""
    talk.wait_for("meanwhile", "", talk.dialogue.check_in_id)
    talk.say("meanwhile.ask", course=course.id)


def no_sets_told(talk: PersonTalk) -> None:
    """What was told of an evening asks for no sets either, of whichever side, once a question about danger is open."""
    for each in (each for each in talk.replies if each.kind == "evening.outcome"):
        course = talk.work.uow.diary.course(each.facts["check_in"].course_id)
        stored = talk.work.uow.decisions.latest(course.id) if course else None
        if course and stored and each.facts["decided"].dose:
            programme = talk.work.programme_of(course)
            told = decision_facts(programme, as_told(talk.work, course, stored.decision), stored.before)
            each.facts["decided"] = replace(
                each.facts["decided"], dose=told.dose, reasons=told.reasons, ask_weight=told.ask_weight
            )


def _weigh(talk: PersonTalk, course: Course, recorded: Recorded, grams: int, *, too_heavy: bool) -> None:
    """The weight told beside the sets is theirs from now on; one that was too heavy answers how the weight was."""
    if not too_heavy:
        if grams:
            _say_weight(talk, course, weight_used(talk.work, talk.person, course, recorded.check_in.date, grams))
    elif recorded.decision and recorded.decision.ask_weight:
        on_weight(talk, course, recorded.check_in, Felt.TOO_MUCH.value)


def on_weight(talk: PersonTalk, course: Course, check_in: CheckIn, value: str) -> None:
    """How the weight felt; where that is answered, or asked of another evening, it changes nothing."""
    felt = Felt(value) if value in tuple(Felt) else None
    decision = weight_felt(talk.work, talk.person, course, check_in, felt) if felt else None
    if decision is None:
        talk.say("button.old")
    else:
        _say_weight(talk, course, decision)


def typed_weight(talk: PersonTalk) -> bool:
    """Take a typed "easy", "right" or "too much" while the question is open; False when the text is none of these."""
    felt = next((each for each in Felt if talk.typed(f"words.weight.{each.value}")), None)
    for course in talk.courses() if felt else ():
        if felt and (check_in := weight_asked(talk.work, course)):
            talk.side = course.side
            on_weight(talk, course, check_in, felt.value)
            return True
    return False


def _say_weight(talk: PersonTalk, course: Course, decision: Decision) -> None:
    talk.refresh()
    programme = talk.work.programme_of(course)
    talk.say("weight.noted", decided=decision_facts(programme, decision))


def ask_again(talk: PersonTalk, check_in: CheckIn) -> None:
    """Open that evening for a change of its answer."""
    talk.wait_for("evening", "change", check_in.id)
    talk.say("change.ask", check_in=check_in)


def confirmed(talk: PersonTalk, course: Course, check_in: CheckIn, *, yes: bool) -> None:
    """The answer to "change it?", for the evening it was asked about."""
    dialogue = talk.dialogue
    if dialogue.step != "confirm" or dialogue.check_in_id != check_in.id:
        talk.say("button.old")
    elif yes:
        facts = dialogue.facts
        above = facts.get("above", 0)
        note(talk, course, check_in, Said(facts.get("pain"), facts.get("sets"), source="tapped", sets_above=above))
    else:
        talk.nothing_open()
        talk.say("change.kept", check_in=check_in)


def ask_on(talk: PersonTalk, course: Course) -> None:
    """Tonight's question, where it is still open, once more: one about signs stood before it."""
    tonight = _open_tonight(talk, course)
    if talk.person.status == Status.ACTIVE and tonight:
        talk.about(tonight.course_id)
        _ask_for_the_rest(talk, tonight, 0, [])


def ask_other_side(talk: PersonTalk) -> None:
    """Once the evening of one side is answered, the question about the other follows, where it is still open."""
    courses = talk.courses()
    answered = any(each.kind == "evening.outcome" for each in talk.replies)
    if len(courses) > 1 and answered and talk.dialogue.flow in ("", "meanwhile"):
        ask_on(talk, courses[0])


def _open_tonight(talk: PersonTalk, first: Course | None = None) -> CheckIn | None:
    """The evening that waits for an answer, of `first` before that of the other side."""
    courses = sorted(talk.courses(), key=lambda each: first is None or each.id != first.id)
    latest = (talk.work.uow.diary.latest_check_in(each.id) for each in courses)
    return next((each for each in latest if each and each.state is CheckInState.ASKED), None)
