"""A programme file: the ladder it gives, and what a wrong one is told."""

import datetime as dt

import pytest

from core.errors import ProgrammeError
from core.model import Dose, Effort, Episode, Evening, Exercise, Kind, Move
from core.programme.file import default_programme, default_programme_text, load_programme
from core.rule import decide

TEXT = default_programme_text()


def mended(*changes: tuple[str, str]) -> str:
    text = TEXT
    for old, new in changes:
        assert old in text, f"the default programme no longer says {old!r}"
        text = text.replace(old, new, 1)
    return text


def complaint(text: str) -> str:
    with pytest.raises(ProgrammeError) as caught:
        load_programme(text, "clinic.toml")
    return str(caught.value)


def line_with(text: str, part: str) -> int:
    return next(number for number, line in enumerate(text.splitlines(), start=1) if part in line)


def test_the_default_ladder_is_eight_steps_and_keeping_going() -> None:
    programme = default_programme()

    assert [step.key for step in programme.steps] == [
        "gentle-holds", "full-holds", "long-holds", "first-lowering", "more-lowering", "full-lowering",
        "lift-and-lower", "strong-lift-and-lower", "keep-going",
    ]  # fmt: skip
    assert [step.holds for step in programme.steps] == [1, 2, 3, 3, 3, 3, 3, 3, 3]
    assert [step.number for step in programme.steps if step.rises] == [6, 7, 8]
    moves, lowering, hold = programme.steps[3].dose.exercises
    assert moves == Exercise("mobilising", Kind.MOBILISING, last_s=(60, 120), both_arms=True)
    assert lowering == Exercise(
        "lowering", Kind.ECCENTRIC, sets=3, reps=(5, 5), lower_s=3, rest_s=(60, 60), both_arms=True,
        pain_at_most=5, effort=Effort.MEDIUM, other_hand_lifts=True,
    )  # fmt: skip
    assert (hold.kind, hold.sets, hold.hold_s, hold.both_arms) == (Kind.ISOMETRIC, 2, 30, True)
    assert (programme.steps[3].dose.asked, programme.steps[3].dose.load_g) == (5, 500)
    assert programme.steps[3].rest == Dose(4, (moves,))


def test_the_version_follows_the_content_and_not_the_layout() -> None:
    version = default_programme().version

    assert version.startswith("outer-elbow-")
    assert len(version.rsplit("-", 1)[1]) == 12
    assert load_programme("# another comment\n\n" + TEXT).version == version
    assert load_programme(mended(("least_days = { value = 7,", "least_days = { value = 8,"))).version != version


def test_a_file_that_is_not_toml_names_line_and_column() -> None:
    message = complaint('name = "x"\nsteps = [1,\n  oops')

    assert "clinic.toml is not TOML" in message
    assert "line 3, column" in message


@pytest.mark.parametrize(
    ("old", "new", "where", "said"),
    [
        (
            "sets = { value = 5, from",
            "sets = { value = 0, from",
            "step[3].exercise[1].sets.value",
            "found 0; expected greater",
        ),
        (
            "sets = { value = 5, from",
            'sets = { value = "5", from',
            "step[3].exercise[1].sets.value",
            "found '5'; expected a valid",
        ),
        (
            'sets = { value = 3, from = ["P6"] }',
            "sets = 5",
            "step[4].exercise[1].sets",
            "found 5; expected a table such as",
        ),
        ("hold_s = { value = 15", "hold_z = { value = 15", "step[1].exercise[1].hold_z", "unknown key"),
        (
            'kind = "eccentric"',
            'kind = "excentric"',
            "step[4].exercise[1].kind",
            "found 'excentric'; expected 'mobilising', 'isometric', 'ecc",
        ),
        ('limit = { value = 8, from = ["C2"] }\n', "", "rule.severe.limit", "missing"),
        (
            'value = 8, from = ["C2"]',
            'value = 8, from = ["Z9"]',
            "rule.severe.limit.from",
            "found 'Z9'; expected a key",
        ),
        ('value = 8, from = ["C2"]', "value = 8, from = []", "rule.severe.limit.from", "expected"),
        (', why = "once may be a bad day"', "", "rule.severe.times", "needs a short why"),
        (
            "allowance = { value = 0.9,",
            "allowance = { value = 0,",
            "rule.flare.allowance.value",
            "expected greater than 0",
        ),
        (
            "daily_cap = { value = 2.4,",
            "daily_cap = { value = 4.8,",
            "rule.flare.limit.value",
            "expected more than daily_cap",
        ),
        ('kind = "isometric"', 'kind = "isotonic"', "step[1].exercise[1].reps", "missing; isotonic work needs it"),
        (
            'last_s = { value = [60, 120], from = ["P2"] }',
            "",
            "every_day[1].last_s",
            "missing; mobilising work needs it",
        ),
        (
            "least_days = { value = 7,",
            "least_days = { value = 0,",
            "step[1].least_days.value",
            "greater than or equal to 1",
        ),
        (
            "cap_g = { value = 2000",
            "cap_g = { value = 400",
            "step[3].load.cap_g.value",
            "expected at least start_g, 500",
        ),
        (
            'usual_step = "full-holds"',
            'usual_step = "holds"',
            "rule.begin.usual_step",
            "expected the key of a step",
        ),
        ('key = "long-holds"', 'key = "full-holds"', "step[3].key", "twice"),
        (
            'rhythm = { value = "x-",',
            'rhythm = { value = "-x",',
            "step[8].rhythm.value",
            "expected a training day",
        ),
        ('value = "5/7"', 'value = "7/5"', "rule.attention.sets_share.value", "less than or equal to 1"),
        ('value = "5/7"', 'value = "most"', "rule.attention.sets_share.value", "a share above 0"),
        (
            "back_days = { value = 8,",
            "back_days = { value = 3,",
            "rule.gap.back_days.value",
            "expected more than ease_days",
        ),
        (
            "reps = { value = [5, 5]",
            "reps = { value = [6, 5]",
            "step[4].exercise[1].reps.value",
            "smaller number first",
        ),
        (
            "lower_s = { value = 3",
            "hold_s = { value = 3",
            "step[4].exercise[1].lower_s",
            "missing; eccentric work needs it",
        ),
        ('citation = "Boonstra', 'note2 = "Boonstra', "sources.C2.note2", "unknown key"),
        (
            'ratings = { value = 4, from = ["judgement"], why = "by',
            'ratings = { value = 3, from = ["judgement"], why = "by',
            "rule.advance.ratings.value",
            "at least rule.weeks.ratings",
        ),
    ],
)
def test_a_wrong_value_is_told_with_path_line_and_what_was_expected(old: str, new: str, where: str, said: str) -> None:
    text = mended((old, new))
    told = [line for line in complaint(text).splitlines()[1:] if line.strip().startswith(where + " (line ")]

    assert told, complaint(text)
    assert said in told[0]


def test_the_line_named_is_the_line_of_the_value() -> None:
    text = mended(
        ("sets = { value = 5,", "sets = { value = 99,"),
        ("gap]\nease_days = { value = 4", "gap]\nease_days = { value = -4"),
    )
    message = complaint(text)

    assert f"step[3].exercise[1].sets.value (line {line_with(text, 'value = 99')})" in message
    assert f"rule.gap.ease_days.value (line {line_with(text, 'value = -4')})" in message


def test_all_problems_are_told_together() -> None:
    message = complaint(
        mended(
            ("sets = { value = 5,", "sets = { value = 0,"),
            ('from = ["C2"]', 'from = ["Z9"]'),
            ("rises = true", "rise = true"),
            ("[rule.begin]", "[rule.start]"),
        )
    )

    assert message.startswith("clinic.toml cannot be used; 5 to mend:")
    for path in (
        "step[3].exercise[1].sets.value",
        "rule.severe.limit.from",
        "step[6].load.rise ",
        "rule.start",
        "rule.begin",
    ):
        assert path in message


def test_a_step_that_the_ladder_does_not_have_is_refused() -> None:
    with pytest.raises(ProgrammeError, match="has steps 1 to 9, but an episode stands on step 10"):
        default_programme().step(10)


def test_a_ladder_without_maintenance_ends_at_its_top_and_waits_for_the_therapist() -> None:
    programme = load_programme(mended(("maintenance = true\n", "")))
    top = Episode(dt.date(2026, 1, 1), 5, 9, dt.date(2026, 1, 1), load_g=2000, level=1.0, first_week_mean=5.0)
    today = dt.date(2026, 6, 1)
    calm = [Evening(today - dt.timedelta(days=n), pain=1, sets_done=2, sets_asked=2) for n in range(40, -1, -1)]
    decision = decide(programme, top, calm, today)

    assert (decision.move, [why.code.value for why in decision.reasons]) == (Move.HOLD, ["stay_top"])
    assert not decision.after.completed


def test_a_gate_that_can_never_open_is_told() -> None:
    """The short cut of 14 days on holds never opened: before it lay 28 days that everybody served."""
    text = default_programme_text().replace("after_days = {", "# {")
    seven = 'mean = { value = 3, from = ["judgement"], why = "one below'

    deaf, late = complaint(text), complaint(mended((seven, 'hold_days = { value = 99, from = ["P4"] }\n' + seven)))

    assert "step[4].gate[2]" in deaf
    assert "opens no sooner than the gate with the higher mean" in deaf
    assert "step[7].gate[1].hold_days.value" in late
    assert "no more of them are served" in late
