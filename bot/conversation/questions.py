"""Ordinary questions that the programme answers itself, and what goes to a person: questions, files, hindrances."""

import datetime as dt
from dataclasses import replace

from bot.conversation.talk import PersonTalk
from bot.ports import Came
from bot.wording.between import IN_THE_WAY
from core.answers.understand import ordinary
from core.programme import Topic
from core.records import Status
from core.use_cases.answering import note_question
from core.use_cases.noticing import pass_on as handed_on
from core.use_cases.noticing import reach

NOT_PATIENTS = (Status.UNCONFIRMED, Status.DISCHARGED)  # nothing of theirs is passed on
FILES = ("voice", "photo", "video", "file")
LONGEST_NUMBER, LONGEST_MOMENT = 16, 10  # digits of a message's number, and of seconds since 1970


def answered(talk: PersonTalk) -> bool:
    """Answer what was typed where the programme has an answer to it; False where it has none."""
    topics = asked_of(talk)
    for topic in topics:
        _say(talk, topic)
    return bool(topics)


def asked_of(talk: PersonTalk) -> list[Topic]:
    """The questions of the programme that the text asks."""
    programme, language = talk.programme, talk.person.language
    words = programme.words.get(language, {})
    phrases = {one.key: words[f"question.{one.key}.phrases"] for one in programme.questions if words}
    keys = ordinary(talk.came.text, language, phrases, words["for_a_person.phrases"]) if phrases else ()
    return [one for one in programme.questions if one.key in keys]


def remember(talk: PersonTalk) -> None:
    """Keep the question, for the button that passes it on."""
    dialogue = talk.dialogue
    talk.work.uow.dialogues.save(replace(dialogue, facts=dict(dialogue.facts) | {"asked": talk.came.text}))


def offer(talk: PersonTalk) -> None:
    """Every question that the programme answers, as buttons."""
    programme = talk.programme
    keys = [one.key for one in programme.questions]
    talk.say("questions", keys=keys, words=programme.said(*(f"question.{key}" for key in keys)))


def on_topic(talk: PersonTalk, key: str) -> None:
    """The answer to the question of that button."""
    topic = next((one for one in talk.programme.questions if one.key == key), None)
    if topic is None:
        talk.say("button.old")
    else:
        _say(talk, topic)


def hand_on(talk: PersonTalk, text: str, said: str = "question.passed_on", /, *, problem: bool = False) -> None:
    """To the therapist with it; what is `said` tells so, and when the clinic opens."""
    note_question(talk.work, talk.person, text, problem=problem)
    talk.say(said, **({"emergency": talk.emergency} if problem else {}))
    talk.say_if_closed()


def pass_on(talk: PersonTalk) -> None:
    """Send the question just answered to the therapist; where none was typed, ask for it."""
    dialogue = talk.dialogue
    text = dialogue.facts.get("asked")
    if text is None:
        talk.cut_in("problem")
        talk.say("question.write", emergency=talk.emergency)
        return
    facts = {name: value for name, value in dialogue.facts.items() if name != "asked"}
    talk.work.uow.dialogues.save(replace(dialogue, facts=facts))
    hand_on(talk, str(text))


def cannot_read(talk: PersonTalk) -> None:
    """A voice message, a picture, a file: an honest answer, and the offer to pass it on where somebody would get it."""
    came, told = talk.came, reach(talk.work, talk.person)
    if not came.file:
        talk.say("chat.cannot_read", emergency=talk.emergency)
        return
    passed = told != "nobody" and talk.person.status not in NOT_PATIENTS and came.message_id is not None
    about = f"{came.file}.{came.message_id}.{int(talk.said_at.timestamp())}" if passed else ""
    talk.say("file", file=came.file, beside=came.came is not Came.OTHER, about=about, emergency=talk.emergency)


def pass_file(talk: PersonTalk, about: str) -> None:
    """The button under that: it goes to the therapist as it is, once."""
    file, _, rest = about.partition(".")
    message_id, _, at = rest.partition(".")
    ours = file in FILES and _is_number(message_id, LONGEST_NUMBER) and _is_number(at, LONGEST_MOMENT)
    if not ours or talk.person.status in NOT_PATIENTS:
        talk.say("button.old")
        return
    sent_at = min(dt.datetime.fromtimestamp(int(at), dt.UTC), talk.work.now)
    words = talk.work.wording(f"file.told.{file}", talk.person.language, {}).text
    handed_on(talk.work, talk.person, message_id, file, sent_at, words)
    talk.say("file.passed")
    talk.say_if_closed()


def _is_number(text: str, longest: int) -> bool:
    return text.isascii() and text.isdecimal() and len(text) <= longest


def on_in_the_way(talk: PersonTalk, argument: str) -> None:
    """What was in the way of silent evenings gets an answer that helps; the button under that passes it on."""
    name, _, why = argument.partition(".")
    if name in IN_THE_WAY:
        talk.say(f"silence.{name}")
    elif name == "tell" and why in IN_THE_WAY:
        told = talk.work.wording(f"silence.told.{why}", talk.person.language, {})
        hand_on(talk, told.text, "silence.passed", problem=True)
    else:
        talk.say("button.old")


def learn(talk: PersonTalk, key: str = "") -> None:
    """A screen of what it is and why; the first one where no key is given."""
    topics = talk.programme.education
    place = next((n for n, one in enumerate(topics) if one.key == key), 0 if not key else len(topics))
    if place == len(topics):
        talk.say("button.old" if key else "chat.nothing_open")
        return
    topic, after = topics[place], topics[place + 1].key if place + 1 < len(topics) else None
    words = talk.programme.said(f"why.{topic.key}")
    talk.say("learn", key=topic.key, provenance=topic.provenance.value, after=after, words=words)


def _say(talk: PersonTalk, topic: Topic) -> None:
    words = talk.programme.said(f"question.{topic.key}")
    talk.say("question.answer", key=topic.key, provenance=topic.provenance.value, words=words)
