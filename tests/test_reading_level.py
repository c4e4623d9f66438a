from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.programme.reading_level import Reading, hard_words, read, syllables

DICTIONARY = Path(__file__).parent / "references" / "data" / "syllables.txt"


def dictionary() -> list[tuple[str, int]]:
    lines = [line.split() for line in DICTIONARY.read_text().splitlines() if not line.startswith("#")]
    return [(word, int(count)) for count, *words in lines for word in words]


def test_syllables_agree_with_the_pronouncing_dictionary():
    # The CMU Pronouncing Dictionary; origin and choice of words stand in the file.
    words = dictionary()
    wrong = [(word, count, syllables(word)) for word, count in words if syllables(word) != count]

    assert len(words) > 500
    assert len(wrong) <= 0.02 * len(words), wrong
    drift = sum(found - count for _, count, found in wrong)
    assert abs(drift) <= 0.005 * sum(count for _, count in words), wrong


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # Wikipedia, "Flesch-Kincaid readability tests": 13 words, 24 syllables
        ("The Australian platypus is seemingly a hybrid of a mammal and reptilian creature.", 24),
        # common practice, no source: numbers and short forms as they are said aloud
        ("7 of 10", 4),
        ("at 19:30", 5),
        ("didn't, can't, isn't, won't, you'll, it's", 8),
        ("a three-way check-in", 5),
    ],
)
def test_syllables_of_a_text(text, expected):
    assert read(text).syllables == expected


@pytest.mark.parametrize(
    ("text", "grade", "within"),
    [
        # Wikipedia, "Flesch-Kincaid readability tests": a grade of 11.3
        ("The Australian platypus is seemingly a hybrid of a mammal and reptilian creature.", 11.3, 0.05),
        # Unit tests of textstat 0.7 (MIT), tests/backend/metrics/test_flesch_kincaid_grade.py
        ("Cool dogs wear da sunglasses.", 2.88, 0.005),
        # Wikipedia, the same page: -3.40 is the lowest, each sentence one word of one syllable
        ("Go. Stop. Rest.", -3.40, 0.005),
    ],
)
def test_grades_agree_with_published_ones(text, grade, within):
    assert read(text).grade == pytest.approx(grade, abs=within)


def test_the_formula_gives_the_published_grade_of_a_whole_book():
    # Wikipedia, the same page, on a picture book: 5.7 words a sentence, 1.02 syllables a word, grade -1.3
    assert Reading(words=5700, sentences=1000, syllables=5814).grade == pytest.approx(-1.3, abs=0.05)


def test_lines_of_a_list_are_sentences_and_a_decimal_point_ends_none():
    assert read("Today:\n- 4 holds of 45 s\n- rest 1.5 min").sentences == 3
    assert read("Your mean is 3.5 now. Well done!").sentences == 2


def test_placeholders_count_as_one_short_word():
    assert read("Hold it for {seconds} s.") == read("Hold it for one s.")


def test_hard_words_are_named_the_longest_first():
    assert hard_words("Your practitioner {name} will reassess the tendon after examination.") == [
        ("examination", 5),
        ("practitioner", 4),
        ("reassess", 3),
    ]


@given(st.lists(st.sampled_from(["hold", "lower", "your", "elbow", "exercise", "19:30", "{sets}"]), min_size=1))
def test_a_text_reads_no_easier_when_its_sentences_are_joined(words):
    apart, joined = read(". ".join(words) + "."), read(" ".join(words) + ".")

    assert apart.syllables == joined.syllables
    assert joined.grade >= apart.grade - 1e-9
