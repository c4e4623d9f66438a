"""A person's course in a few lines, the words that go into its picture, and what they want to do again."""

from dataclasses import asdict

from bot.buttons import Verb, carried
from bot.drawn.course import Band, Day, Line, LineWords, ProgressFacts, Words
from bot.wording.attention import signed
from bot.wording.catalogue import Text
from bot.wording.dose import kilos, step_name
from bot.wording.filling import Keyboard, Word, in_rows, isolated, rows
from core.digest.patient_week import CourseLine
from core.facts import Compared, CourseFacts, GoalFacts, NextStep
from core.records import Button, Worded
from core.scores import Told
from core.scores.goals import CHANGE_MOST, HIGHEST
from core.weeks import Adherence

A_ROW = 6  # numbers to tap


def progress(text: Text, course: CourseFacts, goals: GoalFacts) -> Worded:
    """The lines under the picture; they also stand alone where no picture can be had."""
    parts = [_pain(text, course), [*_weight(text, course), *_sets(text, course.sets)], goal_lines(text, goals)]
    ahead = [_next(text, course.next_step)] if course.next_step else []
    parts.append([*ahead, text("progress.patience")])
    words = "\n\n".join("\n".join(lines) for lines in parts if lines)
    return Worded(words, rows(text, (("why", "today"),)), to_draw=to_draw(text, course))


def _pain(text: Text, course: CourseFacts) -> list[str]:
    lines = [text("progress.week", week=course.week)]
    if course.step <= course.steps:
        lines[0] += " " + text("progress.step", step=course.step, steps=course.steps)
    if course.mean is None:
        return [*lines, text("progress.none")]
    mean = [text("progress.mean", mean=text.number(course.mean))]
    if course.first_mean is not None:
        mean.append(text("progress.first", first=text.number(course.first_mean)))
    return [*lines, " ".join(mean), *(_compared(text, course.compared) if course.compared else [])]


def _sets(text: Text, sets: Adherence) -> list[str]:
    known = [text("progress.sets", done=sets.done, asked=sets.asked)] if sets.asked else []
    return [*known, *([text.many("progress.untold", sets.untold)] if sets.untold else [])]


def _compared(text: Text, compared: Compared) -> list[str]:
    """What the change is worth; of a fall also that nobody knows what did it, for most of this eases untreated."""
    by = compared.matters if compared.told is Told.MATTERS else compared.apart
    number, points = text.number(by.value), text.number(abs(compared.points))
    told = text(f"progress.told.{compared.told.value}", points=points, by=number)
    eases = [text("progress.eases")] if compared.told in (Told.MATTERS, Told.LESS) else []
    return [" ".join([told, *eases]), text("progress.from", by=number, cited="; ".join(by.cited))]


def _weight(text: Text, course: CourseFacts) -> list[str]:
    if not course.load_g:
        return []
    first = next((grams for _, grams in course.loads if grams), 0)
    began = [text("progress.load.first", kg=kilos(text, first))] if first not in (0, course.load_g) else []
    return [" ".join([text("progress.load", kg=kilos(text, course.load_g)), *began])]


def _next(text: Text, step: NextStep) -> str:
    """What usually comes next; how long it took is of made-up people, and said so."""
    key = "progress.next" if step.number <= step.steps else "progress.next.beyond"
    lines = [text(key, step=step.number, name=step_name(text, step.words, step.key))]
    if step.days:
        lines.append(text("progress.next.days", half=step.days[0], most=step.days[1]))
    return " ".join(lines)


def to_draw(text: Text, course: CourseFacts) -> dict[str, object]:
    """What the picture shows, as JSON values; nothing where there is no day to show."""
    return asdict(picture_facts(text, course)) if course.days else {}


def picture_facts(text: Text, course: CourseFacts) -> ProgressFacts:
    """What the picture shows, words included."""
    return ProgressFacts(
        days=tuple(Day(date.isoformat(), pain, asked) for date, pain, asked in course.days),
        bands=tuple(Band(start.isoformat(), end.isoformat(), step) for start, end, step in course.bands),
        flares=tuple(date.isoformat() for date in course.flares),
        injections=tuple(date.isoformat() for date in course.injections),
        first=course.first_mean if course.compared else None,
        apart=course.compared.apart.value if course.compared else 0.0,
        loads=tuple((date.isoformat(), grams) for date, grams in course.loads),
        words=Words(
            title=text("picture.title"),
            evening=text("picture.evening"),
            weekly_mean=text("picture.weekly_mean"),
            missed=text("picture.missed"),
            flare=text("picture.flare"),
            injection=text("picture.injection"),
            nothing=text("picture.nothing"),
            step=text("picture.step"),
            day_month=text("picture.day_month"),
            months=tuple(text.month(number) for number in range(1, 13)),
            decimal=text.number(0.5)[1],
            chance=text("picture.chance"),
            kilos=text("picture.kilos"),
        ),
    )


def goal_lines(text: Text, told: GoalFacts) -> list[str]:
    """Each goal with its ratings, and what the change of them is worth; nothing where none was named."""
    lines = [_goal(text, "goals.line", *each) for each in told.goals]
    if lines:
        lines.insert(0, text("goals.head"))
    if change := told.change:
        first, now = text.number(change.first), text.number(change.now)
        lines.append(text(f"goals.{change.verdict}", first=first, now=now))
    if told.overall:
        lines.append(text("goals.overall", week=told.overall[0], change=signed(text, told.overall[1], 0)))
    return lines


def goals_for_staff(text: Text, told: GoalFacts, score_due: int | None = None) -> list[str]:
    """The same in the trade's words, and whether the clinic's questionnaire is due."""
    lines = [_goal(text, "therapist.goals.line", *each) for each in told.goals]
    if lines:
        lines.insert(0, text("therapist.goals.head"))
    if change := told.change:
        shown = {"first": text.number(change.first), "now": text.number(change.now)}
        needed = text.number(change.by.value)
        lines.append(text(f"therapist.goals.{change.verdict}", **shown, needed=needed, week=told.week))
    if told.overall:
        lines.append(text("therapist.goals.overall", week=told.overall[0], change=signed(text, told.overall[1], 0)))
    if score_due:
        lines.append(text("therapist.goals.score_due", week=score_due))
    return lines


def _goal(text: Text, key: str, goal: str, first: int | None, now: int | None) -> str:
    unknown = text("goals.unrated")
    shown = {"goal": isolated(goal), "first": unknown if first is None else first}
    return text(key, **shown) if now is None else text(f"{key}.now", **shown, now=now)


def _rate(text: Text, review: str, question: int | str, goal: str) -> Worded:
    shown = [(str(n), n) for n in range(HIGHEST + 1)]
    return Worded(text("goals.rate", goal=isolated(goal)), _numbers(review, question, shown))


def _change(text: Text, review: str, question: int | str, goal: None) -> Worded:
    shown = [(signed(text, n, 0), n) for n in range(-CHANGE_MOST, CHANGE_MOST + 1)]
    return Worded(text("goals.change"), _numbers(review, question, shown))


def _numbers(review: str, question: int | str, shown: list[tuple[str, int]]) -> Keyboard:
    return in_rows((Button(label, carried(Verb.GOALS, review, question, n)) for label, n in shown), A_ROW)


def _offer(text: Text, most: int) -> Worded:
    return Worded(text("goals.offer", most=most), (_buttons(text, "add", "later"),))


def _name(text: Text) -> Worded:
    return Worded(text("goals.name"), (_buttons(text, "later"),))


def _list(text: Text, goals: GoalFacts, more: bool, anew: bool, asked_again: bool) -> Worded:
    lines = goal_lines(text, goals)
    if asked_again and not lines:
        lines = [text("goals.thanks")]
    if more:
        lines += ["", text("goals.more")]
    elif asked_again:
        lines += ["", text("goals.form")]
    verbs = [*(["add", "done"] if more else []), *(["anew"] if anew else [])]
    return Worded("\n".join(lines), (_buttons(text, *verbs),) if verbs else ())


def _buttons(text: Text, *verbs: str) -> tuple[Button, ...]:
    return tuple(Button(text(f"goals.button.{verb}"), carried(Verb.GOALS, verb)) for verb in verbs)


PROGRESS: dict[str, Word] = {
    "progress": progress,
    "goals.offer": _offer,
    "goals.name": _name,
    "goals.rate": _rate,
    "goals.change": _change,
    "goals.list": _list,
}


def line_facts(course: CourseLine) -> Line:
    """A course as the drawing takes it."""
    return Line(
        first=course.first.isoformat(),
        last=course.last.isoformat(),
        days=tuple(Day(each.date.isoformat(), each.pain, each.asked) for each in course.evenings),
        bands=tuple(Band(first.isoformat(), last.isoformat(), step) for first, last, step in course.steps),
        flares=tuple(date.isoformat() for date in course.flares),
        means=tuple((date.isoformat(), mean) for date, mean in course.means),
    )


def line_words(text: Text) -> LineWords:
    """Every word in a drawn course."""
    return LineWords(
        evening=text("therapist.picture.evening"),
        weekly_mean=text("therapist.picture.weekly_mean"),
        missed=text("picture.missed"),
        flare=text("picture.flare"),
        nothing=text("picture.nothing"),
        step_key=text("therapist.picture.steps"),
        day_month=text("picture.day_month"),
        months=tuple(text.month(number) for number in range(1, 13)),
    )
