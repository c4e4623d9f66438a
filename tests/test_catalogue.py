import io

import pytest
from babel.messages.pofile import read_po

from tests.catalogue_rules import FOLDER, differences, faults, hard_to_read, load

CATALOGUES = sorted(FOLDER.glob("*/LC_MESSAGES/holdlower.po"))
ENGLISH = FOLDER / "en" / "LC_MESSAGES" / "holdlower.po"
catalogues = pytest.mark.parametrize("path", CATALOGUES, ids=lambda path: path.parts[-3])


def test_there_is_an_english_catalogue():
    assert ENGLISH in CATALOGUES


@catalogues
def test_no_text_is_empty_fuzzy_or_marked_up_and_each_can_be_filled_in(path):
    assert faults(load(path)) == []


@catalogues
def test_a_translation_has_the_entries_and_placeholders_of_the_english(path):
    assert differences(load(path), load(ENGLISH)) == []


def test_what_patients_read_in_english_is_at_sixth_grade_level():
    # Flesch-Kincaid is made for English; other languages need a formula of their own.
    assert hard_to_read(load(ENGLISH)) == []


def sample(*pairs: str):
    return read_po(io.BytesIO("\n\n".join(pairs).encode()), locale="en")


GOOD = 'msgid "evening.ask"\nmsgstr "How was the pain in your elbow today, on average, from 0 to {most}?"'
HARD = (
    'msgid "dose.why"\nmsgstr "Isometric contractions administered consistently facilitate considerable '
    'amelioration of symptomatology within approximately {weeks} weeks."'
)


@pytest.mark.parametrize(
    ("entry", "expected"),
    [
        ('msgid "a.b"\nmsgstr ""', "a.b: empty"),
        ('msgid "a.b"\nmsgid_plural "a.b"\nmsgstr[0] "one set"\nmsgstr[1] ""', "a.b: empty"),
        ('#, fuzzy\nmsgid "a.b"\nmsgstr "Hello."', "a.b: fuzzy"),
        ('msgid "a.b"\nmsgstr "<b>Rest</b> today."', "a.b: markup '<b>'"),
        ('msgid "a.b"\nmsgstr "Rest &amp; sleep."', "a.b: markup '&amp;'"),
        ('msgid "a.b"\nmsgstr "Do {sets sets."', "a.b: "),
        ('msgid "a.b"\nmsgstr "Do {} sets."', "a.b: a placeholder without a name"),
        ('#~ msgid "a.b"\n#~ msgstr "Hello."', "a.b: obsolete"),
    ],
)
def test_each_fault_of_an_entry_is_found(entry, expected):
    assert faults(sample(GOOD)) == []

    found = faults(sample(GOOD, entry))

    assert any(line.startswith(expected) for line in found), found


def test_arithmetic_signs_are_no_markup():
    assert faults(sample('msgid "a.b"\nmsgstr "Pain < 4 & sets > 2: move up."')) == []


def test_lost_changed_and_added_entries_of_a_translation_are_found():
    english = sample(GOOD, 'msgid "a.b"\nmsgstr "Rest for {days} days."', 'msgid "c.d"\nmsgstr "Well done."')
    other = sample(GOOD, 'msgid "a.b"\nmsgstr "{tage} Tage Pause."', 'msgid "e.f"\nmsgstr "Gut."')

    assert differences(other, english) == [
        "a.b: placeholders ['tage'] instead of ['days']",
        "c.d: not translated",
        "e.f: not in the English catalogue",
    ]


def test_hard_texts_are_named_with_the_words_to_replace_but_only_those_for_patients():
    found = hard_to_read(sample(GOOD, HARD))

    assert [line.partition(":")[0] for line in found] == ["dose.why", "all together"]
    assert "symptomatology 6" in found[0]
    assert hard_to_read(sample(GOOD, HARD.replace("dose.why", "therapist.dose.why"))) == []
