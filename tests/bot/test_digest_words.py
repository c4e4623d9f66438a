import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.wording.attention import percent, signed, suggestion, why
from bot.wording.digest import LONGEST, SCREEN, digest_message, digest_texts, numbered, screen_lines, units
from bot.wording.digest_file import file_facts
from bot.wording.digest_page import decisions_table, notice_lines, numbers_lines, page
from bot.wording.filling import isolated, shown
from bot.wording.reasons import for_staff
from bot.wording.staff_lists import reasons
from core.digest import PAGES, digest, files, in_file
from core.digest.attention import RANK, URGENCY, Attention, Urgency
from core.digest.patient_week import DueTask, Made, Moved, Standing
from core.digest.weekly_trend import WeeklyTrend
from core.facts import ReasonFacts
from core.model import Flag, NoticeKind, ReasonCode
from core.page import CaseloadRow
from core.programme.file import programme_at
from core.records import Status
from core.rule.dose import Amounts
from core.rule.override import Act, Override
from core.scores import change_since
from core.weeks import Adherence
from tests.bot.digest_cases import HEAD, TEXT, awkward, crowd, digest_of, file_of, usual
from tests.builders import a_decision
from tests.caseload import HARD_NAMES, MONDAY, SUNDAY, a_standing, lived


def numbered_lines(messages):
    return re.findall(r"^(\d+)\. (.*): ", "\n".join(messages), re.MULTILINE)


def test_a_usual_week_fits_one_screen_and_says_who_needs_the_therapist_and_why():
    (message,) = digest_texts(TEXT, digest_of(usual()))

    assert screen_lines(message) <= SCREEN
    lines = message.split("\n")
    assert lines[1] == "20 patients, 81 % of evenings answered"
    at = lines.index("1. the bricklayer: stopped for a red flag")
    assert lines[at - 1 : at + 2] == ["TO DO: 5", lines[at], "- Call now. Clear once the arm was seen."]
    assert "flare this week: 6. the cellist" in lines
    assert lines[-1] == "Nothing to do for 14: moved up 4, away 1."


def test_each_one_to_act_on_has_one_proposal_and_one_button():
    found = digest_of(usual())
    whole = digest_message(TEXT, found)

    acts = [week for _, week in numbered(found) if week.urgency is Urgency.ACT]
    assert whole.text.count("\n- ") == len(acts) == 5
    assert [[button.label for button in row] for row in whole.buttons[:2]] == [
        ["1. the bricklayer", "1. Clear the stop"], ["2. the gardener", "2. Write"],
    ]  # fmt: skip


def test_every_reason_to_act_has_a_proposal_in_both_programmes_with_where_it_is_from():
    for name in ("outer-elbow", "inner-elbow"):
        programme = programme_at(name)
        proposed = {topic.key.replace("-", "_"): topic for topic in programme.suggestions}
        for code in Attention:
            if URGENCY[code] is Urgency.ACT and code is not Attention.TASK:
                assert proposed[code].rows
                assert suggestion(TEXT, programme.words, (code,))
    # H7 of the evidence, Devon referral guidance: neck, and the nerve in its tunnel, before it is called a tendon
    twelve = suggestion(TEXT, programme_at("outer-elbow").words, (Attention.PLATEAU_12_WEEKS,))
    assert [word in twelve for word in ("technique", "load", "work", "neck", "radial nerve")] == [True] * 5


def test_nobody_is_among_those_who_moved_up_and_those_without_a_change_that_matters():
    stuck = replace(PLAIN, attention=(Attention.PLATEAU_12_WEEKS,), moves=(Moved(MONDAY, True, 3),))
    fine = replace(PLAIN, attention=(), moves=(Moved(MONDAY, True, 3),), who=Standing("y", "y"), stopped_for=None)

    (message,) = digest_texts(TEXT, digest([stuck, fine], MONDAY))

    assert "1. x: 12 weeks, no change that matters" in message
    assert message.endswith("Nothing to do for 1: moved up 1.")


def test_who_got_worse_in_twelve_weeks_is_told_so_and_comes_before_who_stayed_the_same():
    programme = programme_at("outer-elbow")
    same, worse = (
        replace(
            PLAIN, attention=(Attention.PLATEAU_12_WEEKS,), who=Standing(name, name), stopped_for=None,
            change=change_since(programme, 5.9, mean),
        )
        for name, mean in (("a", 5.8), ("b", 7.3))
    )  # fmt: skip
    (message,) = digest_texts(TEXT, digest([same, worse], MONDAY))
    assert "1. b: 12 weeks, and worse (5.9 to 7.3)" in message
    assert "2. a: 12 weeks, no change that matters" in message
    rows = [
        CaseloadRow(each.who.id, each.who.name, Status.ACTIVE, each.attention, change=each.change)
        for each in (same, worse)
    ]
    first, second = sorted(rows, key=lambda row: row.order)
    assert reasons(TEXT, first) == ["12 weeks, and worse (5.9 to 7.3)"]
    assert reasons(TEXT, second) == ["12 weeks, no change that matters"]


def test_what_was_dealt_with_is_not_to_be_done_again():
    silent = replace(PLAIN, attention=(Attention.SILENT,), stopped_for=None)
    done = replace(silent, who=replace(silent.who, settled=(Attention.SILENT,)))

    assert "TO DO: 1" in digest_texts(TEXT, digest([silent], MONDAY))[0]
    assert digest_texts(TEXT, digest([done], MONDAY))[0].endswith("Nothing to do for 1.")


def test_nobody_and_nobody_in_need_are_told_kindly():
    (nobody,) = digest_texts(TEXT, digest([], MONDAY))
    (calm,) = digest_texts(TEXT, digest_of([one for one in usual() if not one[1].week(one[0]).attention]))

    assert "No patient of yours had begun by this week" in nobody
    assert "TO DO" not in calm
    assert "Nothing to do for 12" in calm


def test_a_long_caseload_goes_on_in_further_messages():
    found = digest_of(crowd(300))

    messages = digest_texts(TEXT, found)

    acts = [number for number, week in numbered(found) if week.urgency is Urgency.ACT]
    assert screen_lines(messages[0]) <= SCREEN
    assert max(map(units, messages)) <= LONGEST
    assert len(messages) > 2
    assert [int(number) for number, _ in numbered_lines(messages)] == acts
    assert "NEW, WORTH A LOOK: 15, in /caseload" in messages[-1]
    assert all(message.endswith("The rest is in the next message.") for message in messages[:-1])


NAMES = st.one_of(st.text(max_size=60), st.sampled_from(HARD_NAMES))
CODES = st.lists(st.sampled_from(list(Attention)), unique=True, max_size=5)
TASKS = (DueTask("t", SUNDAY, "call"),)
STEADY = WeeklyTrend(8, 3.0, 0.0, -0.2, 0.2, 0.1)
PLAIN = replace(
    lived(40).week(Standing("x", "x")), moves=(), flares=(SUNDAY,), week_change=1.5, stopped_for=Flag.RED_FLAG
)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(NAMES, CODES, st.booleans()), max_size=150))
def test_nothing_is_lost_or_too_long_whatever_the_names(facts):
    weeks = [
        replace(
            PLAIN, step=3, who=Standing(f"id-{n}", name, tasks=TASKS),
            attention=tuple(sorted(codes, key=RANK.__getitem__)),
            moves=(Moved(MONDAY, False, 2), Moved(SUNDAY, True, 3)) if up else (Moved(MONDAY, False, 2),),
        )
        for n, (name, codes, up) in enumerate(facts)
    ]  # fmt: skip
    found = digest(weeks, MONDAY)

    messages = digest_texts(TEXT, found)

    assert screen_lines(messages[0]) <= SCREEN
    assert max(map(units, messages)) <= LONGEST
    whole = "\n".join(messages)
    lines = whole.split("\n")
    for number, week in numbered(found):
        name = isolated(shown(week.who.name, "(no name)"))
        assert sum(line.startswith(f"{number}. {name}: ") for line in lines) == (week.urgency is Urgency.ACT)
    assert whole.count("Nothing to do for") == bool(weeks)


def test_names_are_shown_as_given_but_cannot_break_a_line():
    markup, hebrew, _, _, russian, _, invisible, violin, empty, endless = HARD_NAMES

    assert shown(markup, "-", 99) == markup  # messages are plain text, so that it is only letters
    assert shown(russian, "-") == russian
    assert shown(invisible, "-") == "a b c d e"
    assert shown(violin, "-") == violin
    assert shown(empty, "(no name)") == "(no name)"
    assert shown("\u202e\u200d ", "(no name)") == "(no name)"
    assert shown(endless, "-") == "x" * 39 + "…"
    assert isolated(hebrew) == f"\u2068{hebrew}\u2069"
    assert isolated(russian) == russian


@pytest.mark.parametrize("code", Attention)
def test_each_reason_to_look_has_words(code):
    week = replace(
        PLAIN, attention=(code,), moves=(Moved(MONDAY, False, 2),),
        who=replace(PLAIN.who, tasks=TASKS),
    )  # fmt: skip

    (words,) = why(TEXT, week)

    assert 3 < len(words) < 60


def test_each_reason_of_a_decision_has_words_in_the_file():
    for code in ReasonCode:
        names = re.findall(r"{(\w+)}", TEXT(f"therapist.because.{code.value}"))
        numbers = {name: 0.5 if name in ("share", "need") else 3 for name in names}
        numbers |= {name: 0.5 for name in ("share", "need") if "share" in names}
        assert for_staff(TEXT, ReasonFacts(code, numbers))


def test_reasons_that_the_rule_gives_have_the_numbers_their_words_need():
    for _, course in (*usual(), *awkward()):
        for each in course.made:
            for why_so in each.decision.reasons:
                assert for_staff(TEXT, ReasonFacts(why_so.code, dict(why_so.numbers)))


@pytest.mark.parametrize("act", Act)
def test_what_the_therapist_did_stands_with_their_reason(act, monkeypatch: pytest.MonkeyPatch):
    step = 4 if act in (Act.TO, Act.GATE, Act.UNGATE) else None
    amounts = Amounts(1500, 2) if act is Act.DOSE else None
    override = Override(act, step, SUNDAY if act is Act.PIN else None, 2.5 if act is Act.GATE else None, amounts)
    note = "seen in the clinic,\n<b>strong</b> grip"
    monkeypatch.setattr("core.digest.patient_week.act_of", lambda _: override)
    week = replace(PLAIN, told=(Made(a_decision(date=MONDAY, step=4), by="Ines", note=note),), evenings=())

    (row,) = decisions_table(TEXT, week).rows

    assert row[-1].endswith('. Ines: "seen in the clinic, <b>strong</b> grip"')
    assert row[1] == "-"


def test_each_kind_of_notice_has_words_once():
    told = (Made(a_decision(date=MONDAY, notices=(NoticeKind.SILENT,))),)
    week = replace(PLAIN, told=told, who=replace(PLAIN.who, notices=tuple(NoticeKind)))

    lines = notice_lines(TEXT, week)

    assert len(lines) == len(NoticeKind)
    assert sum(TEXT("notice.silent") in line for line in lines) == 1


def test_numbers_are_told_by_where_they_are_from_and_each_published_one_cites():
    week = lived(140, 3, bad_days=3).week(usual()[0][0])

    lines = numbers_lines(TEXT, week)

    # Dworkin RH et al. J Pain 2008;9(2):105-121 for the bands of change
    assert any(line.startswith("Published, Dworkin RH et al. J Pain 2008;9(2):105-121: ") for line in lines)
    assert [line.partition(" ")[0].rstrip(":,") for line in lines[-1:]] == ["Judgement"]
    judged = [each.figure for each in week.numbers if each.figure.provenance == "judgement"]
    assert judged
    assert all(str(TEXT.number(figure.value, 2)) in lines[-1] for figure in judged)


def test_percents_are_whole_only_when_nothing_is_missing():
    assert [percent(TEXT, *pair) for pair in ((0, 9), (1, 999), (998, 999), (9, 9), (2, 3), (0, 0))] == [
        "0", "1", "99", "100", "67", "0",
    ]  # fmt: skip
    assert [signed(TEXT, value) for value in (1.25, -0.04, 0, -1.26)] == ["+1.2", "0.0", "0.0", "−1.3"]


def test_files_part_the_caseload_and_lose_nobody():
    found = digest_of(crowd(300))

    parts = [in_file(found, part) for part in range(files(found))]

    assert [len(part) for part in parts] == [PAGES] * 3
    assert sum(parts, ()) == found.patients
    assert [page.number for page in file_of(crowd(300), 2).pages][::99] == ["No. 201 of 300", "No. 300 of 300"]
    assert files(digest([], MONDAY)) == 1


def test_the_page_for_the_file_has_the_goals_the_persons_own_words_and_the_notes():
    who = replace(
        PLAIN.who, goals=(("carry the shopping", 3, 6),), own_words=((MONDAY, "my hand has gone numb"),),
        notes=((SUNDAY, "strong grip, no numbness seen"),),
    )  # fmt: skip

    facts = dict(page(TEXT, replace(PLAIN, who=who), lived(40).line()).facts)

    assert "carry the shopping" in facts["Goals"]
    assert facts["Own words"] == "Mon 22 Jun: my hand has gone numb"
    assert facts["Your notes"] == "Sun 28 Jun: strong grip, no numbness seen"


def test_without_room_for_names_it_counts_whose_questionnaire_is_due_and_whom_nobody_has_looked_at():
    """Whoever is to be looked at keeps their name, and all of it one screen."""
    calm, both = lived(60, 6, level=3), (Attention.SCORE_DUE, Attention.UNSEEN)
    looks = [replace(calm.week(a_standing(n)), attention=(code,)) for n, code in enumerate(LOOKS * 5)]
    others = [replace(calm.week(a_standing(100 + n)), attention=both[n > 2 :]) for n in range(12)]

    (whole,) = digest_texts(TEXT, digest([*looks, *others], MONDAY))
    assert "\nPRTEE due: 3; unseen for 4 weeks: 12.\n" in whole
    assert screen_lines(whole) <= SCREEN
    assert all(f"{number}. the " in whole for number in range(1, 31))
    (named,) = digest_texts(TEXT, digest([*looks[:2], *others], MONDAY))
    assert "\nPRTEE DUE: the " in named
    assert re.search("NOT LOOKED AT FOR 4 WEEKS: the .* and 8 more\n\nNothing to do for 0.", named)


LOOKS = tuple(code for code in Attention if URGENCY[code] is Urgency.LOOK)[:6]


def test_sets_of_a_few_evenings_are_not_shown_as_all_of_a_week():
    """10 of 14 evenings said nothing of their sets."""
    sets = Adherence(12, 12, 10)
    row = replace(PLAIN.this, week=replace(PLAIN.this.week, sets=sets))
    week = replace(PLAIN, weeks=(row,), fortnight=sets, stopped_for=None)
    assert page(TEXT, week, lived(40).line()).weeks.rows[0][-1] == "12 of 12 *"
    overview = file_facts(TEXT, digest([week], MONDAY), {week.who.key: lived(40).line()}, HEAD).overview
    assert overview
    assert overview.caseload.rows[0][-1] == "100 % *"
