"""What was in the way of the evenings that went by without a word; to the therapist only if the person wants it."""

from bot.conversation.talk import PersonTalk
from bot.wording.breaks import IN_THE_WAY
from core.use_cases.answering import note_question

TELL = "tell"


def on_tap(talk: PersonTalk, argument: str) -> None:
    """What is in the way gets an answer that helps; the button under that passes it on."""
    name, _, why = argument.partition(".")
    if name in IN_THE_WAY:
        talk.say(f"silence.{name}")
    elif name == TELL and why in IN_THE_WAY:
        told = talk.work.wording(f"silence.told.{why}", talk.person.language, {})
        note_question(talk.work, talk.person, told.text, problem=True)
        talk.say("silence.passed")
        talk.say_if_closed()
    else:
        talk.say("button.old")
