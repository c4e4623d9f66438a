"""The digest as messages: the first fits a phone's screen, the rest of a long caseload follows in further ones."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from bot.wording.attention import percent, why
from bot.wording.catalogue import Text
from bot.wording.names import isolated, shown
from bot.wording.staff_buttons import command, in_rows, named
from bot.wording.trend import trend_short
from core.digest import PANELS, Counts, Digest, needing
from core.digest.attention import Attention, Urgency
from core.digest.patient_week import PatientWeek
from core.digest.weekly_trend import WEEKS, Direction
from core.records import Worded

SCREEN = 900  # units that a six-inch phone shows at once
LONGEST = 4096  # units of one message, as the messaging service counts them
SURE = (Direction.FALLING, Direction.RISING)
STATES = ("stopped", "halted", "unreachable", "away", "left", "completed")


@dataclass(frozen=True, slots=True)
class Section:
    """A title and its entries, none of which is ever broken; `between` stands between two of them."""

    title: str
    entries: tuple[str, ...]
    between: str = "\n"


def digest_message(text: Text, digest: Digest) -> Worded:
    """The digest as it is sent; the pages of those on the first screen are one tap away."""
    first, *further = digest_texts(text, digest)
    people = [named(text, "open", each.who.id, each.who.name, number) for number, each in numbered(digest)[:PANELS]]
    return Worded(first, (*in_rows(people, 2), (command(text, "caseload"),)), further=tuple(further))


def digest_texts(text: Text, digest: Digest) -> tuple[str, ...]:
    """The digest in one message or more, each within the service's limit; nothing is left out."""
    if not digest.patients:
        return (f"{_head(text, digest)}\n\n{text('therapist.digest.nobody')}",)
    head = "\n".join([_head(text, digest), *_counts(text, digest.counts), *_trends(text, digest.patients)])
    sections = _sections(text, digest)
    whole = _packed(text, head, sections, SCREEN)
    return tuple(whole if len(whole) == 1 else _packed(text, head, sections, SCREEN - units(_more(text))))


def units(text: str) -> int:
    """Length in UTF-16 code units, as the messaging service counts."""
    return len(text.encode("utf-16-le", "surrogatepass")) // 2


def numbered(digest: Digest) -> tuple[tuple[int, PatientWeek], ...]:
    """Who has a line and a picture of their own, with the number both carry."""
    return tuple(enumerate(needing(digest), 1))


def _head(text: Text, digest: Digest) -> str:
    return text("therapist.digest.head", first=text.day(digest.monday), last=text.day(digest.sunday))


def _counts(text: Text, counts: Counts) -> list[str]:
    first = [text.many("therapist.digest.patients", counts.patients)]
    if counts.asked:
        share = percent(text, counts.rated, counts.asked)
        first.append(text("therapist.digest.answered", share=share, rated=counts.rated, asked=counts.asked))
    names = ("moved_up", "stepped_back", "silent", *STATES)
    second = [text(f"therapist.digest.count.{name}", n=n) for name in names if (n := getattr(counts, name))]
    return [", ".join(part) for part in (first, second) if part]


def _trends(text: Text, patients: Sequence[PatientWeek]) -> list[str]:
    """How many rise, how many fall, and of how many that cannot be said; one line."""
    counts = Counter(each.trend.direction.value if each.trend.direction in SURE else "unsure" for each in patients)
    names = (*(each.value for each in SURE), "unsure")
    parts = [text(f"therapist.digest.trend.{name}", n=counts[name]) for name in names if counts[name]]
    return [text("therapist.digest.trend", weeks=WEEKS, counts=", ".join(parts))]


def _sections(text: Text, digest: Digest) -> list[Section]:
    lines = numbered(digest)
    found = [Section(text("therapist.digest.calm"), ())] if not lines else []
    for urgency in (Urgency.ACT, Urgency.LOOK):
        of_it = [(number, week) for number, week in lines if week.urgency is urgency]
        if of_it:
            entries = tuple(_line(text, number, week) for number, week in of_it)
            found.append(Section(text(f"therapist.digest.{urgency.name.lower()}"), entries))
    return [*found, *_rising(text, digest.patients), *_lists(text, digest.patients)]


def _line(text: Text, number: int, week: PatientWeek) -> str:
    return text("therapist.digest.line", n=number, name=_name(text, week), why="; ".join(why(text, week)))


def _name(text: Text, week: PatientWeek) -> str:
    return isolated(shown(week.who.name, text("therapist.no_name")))


def _rising(text: Text, patients: Sequence[PatientWeek]) -> list[Section]:
    """Whose pain surely rises, which a week alone does not show; each with the interval."""
    entries = tuple(
        text("therapist.digest.rises", name=_name(text, each), trend=trend_short(text, each.trend))
        for each in patients
        if each.trend.direction is Direction.RISING
    )
    return [Section(text("therapist.digest.rising"), entries)] if entries else []


def _lists(text: Text, patients: Sequence[PatientWeek]) -> Iterable[Section]:
    """Names that are good to know, all of a kind in one paragraph."""
    up = [(each, text("therapist.digest.to_step", step=each.step)) for each in patients if _went_up(each)]
    known = [each for each in patients if each.urgency is Urgency.KNOW]
    few = [
        (each, text("therapist.digest.share", share=percent(text, each.fortnight.done, each.fortnight.asked)))
        for each in known if Attention.FEW_SETS in each.attention
    ]  # fmt: skip
    away = [
        (each, text.day(each.who.away_until) if each.who.away_until else "")
        for each in known if Attention.AWAY in each.attention
    ]  # fmt: skip
    done = [(each, "") for each in patients if each.completed and each.told]  # told once, in the week it came
    for key, found in (("up", up), ("few_sets", few), ("away", away), ("completed", done)):
        if found:
            entries = (_named(text, week, more) for week, more in found)
            yield Section(text(f"therapist.digest.{key}"), tuple(entries), ", ")


def _went_up(week: PatientWeek) -> bool:
    return bool(week.moves) and week.moves[-1].up


def _named(text: Text, week: PatientWeek, more: str) -> str:
    name = _name(text, week)
    return text("therapist.digest.named", name=name, more=more) if more else name


def _more(text: Text) -> str:
    return f"\n\n{text('therapist.digest.more')}"


def _packed(text: Text, head: str, sections: Iterable[Section], limit: int) -> list[str]:
    """Fills one message after the other, the first up to `limit`; a section that goes on says so in its title."""
    more, current = _more(text), head
    messages: list[str] = []
    for section in sections:
        title, separator = section.title, f"\n\n{section.title}\n"
        if not section.entries:
            current += f"\n\n{title}"
        for entry in section.entries:
            if units(current + separator + entry) > limit:
                messages.append(current)
                current, limit = text("therapist.digest.further", head=head.partition("\n")[0]), LONGEST - units(more)
                going_on = separator == section.between
                separator = f"\n\n{text('therapist.digest.goes_on', title=title) if going_on else title}\n"
            current += separator + entry
            separator = section.between
    return [*(message + more for message in messages), current]
