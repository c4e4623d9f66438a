"""A programme as a folder: numbers in one file, words in a catalogue a language, every fault told with its place."""

import json
import re
from pathlib import Path

import pytest

from core.errors import ProgrammeError
from core.programme.file import DEFAULT, load_folder, load_programme, programme_at, shipped
from core.programme.reading_level import Reading, read

FOLDERS = Path(__file__).parents[3] / "core" / "programmes"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The programme that comes along, to be spoilt."""
    for each in (FOLDERS / DEFAULT).iterdir():
        (tmp_path / each.name).write_text(each.read_text(encoding="utf-8"), encoding="utf-8")
    return tmp_path


def spoil(folder: Path, name: str, old: str, new: str) -> str:
    """The complaint about the folder with one place changed."""
    file = folder / name
    text = file.read_text(encoding="utf-8")
    assert text.count(old) >= 1, old
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(ProgrammeError) as caught:
        load_folder(folder)
    return str(caught.value)


def test_a_stored_programme_comes_back_with_its_words() -> None:
    programme = programme_at(DEFAULT)
    again = load_programme(programme.text)

    assert again == programme
    assert set(json.loads(programme.text)) == {"programme.toml", "words.en.po"}


def test_a_mended_word_is_no_new_version_and_a_changed_number_is(folder: Path) -> None:
    before = load_folder(folder).version
    words, numbers = folder / "words.en.po", folder / "programme.toml"

    words.write_text(words.read_text().replace("gentle holds", "very gentle holds"))
    assert load_folder(folder).version == before
    numbers.write_text(numbers.read_text().replace("hold_s = { value = 15", "hold_s = { value = 20"))
    assert load_folder(folder).version != before


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            'msgid "stop"',
            'msgid "halt"',
            ["stop: missing", r"halt \(line \d+\): nothing in the programme has that key"],
        ),
        ("count to {lower}", "count to {down}", [r"exercise.lowering.how \(line \d+\): found the gap down; expected"]),
        (
            "Do not ice just before the sets.",
            "Cryotherapeutic applications immediately preceding exercise are inadvisable considering sensation.",
            [r"question.ice.answer \(line \d+\): reads at grade \d+.\d; expected 6.9 or less; .*inadvisable"],
        ),
        ('msgstr "gentle holds"', 'msgstr ""', ["step.gentle-holds: missing"]),
        ("count to {lower}", "count to {lower", ["exercise.lowering.how"]),
    ],
)
def test_a_fault_of_the_words_is_told_with_file_key_and_line(folder: Path, old: str, new: str, said: list[str]) -> None:
    complaint = spoil(folder, "words.en.po", old, new)

    for each in said:
        assert re.search(r"words\.en\.po: .*" + each.split(" ")[0], complaint), complaint
        assert re.search(each, complaint), complaint


def test_the_line_named_is_the_line_of_the_text(folder: Path) -> None:
    complaint = spoil(folder, "words.en.po", "count to {lower}", "count to {down}")
    line = int(re.search(r"exercise.lowering.how \(line (\d+)\)", complaint)[1])  # type: ignore[index]

    assert (folder / "words.en.po").read_text().splitlines()[line - 1] == 'msgid "exercise.lowering.how"'


def test_a_new_exercise_needs_words_and_both_files_are_told_at_once(folder: Path) -> None:
    numbers = folder / "programme.toml"
    numbers.write_text(numbers.read_text().replace("least_days = { value = 7,", "least_days = { value = 0,"))
    complaint = spoil(folder, "programme.toml", 'key = "lowering"', 'key = "sinking"')

    assert "step[1].least_days.value (line" in complaint
    numbers.write_text(numbers.read_text().replace("least_days = { value = 0,", "least_days = { value = 7,"))
    with pytest.raises(ProgrammeError, match=r"words\.en\.po: exercise\.sinking\.how: missing"):
        load_folder(folder)


@pytest.mark.parametrize("gone", ["programme.toml", "words.en.po"])
def test_a_folder_without_numbers_or_without_words_is_refused(folder: Path, gone: str) -> None:
    (folder / gone).unlink()

    with pytest.raises(ProgrammeError, match=r"has no (programme\.toml|words)"):
        load_folder(folder)


def test_a_name_that_is_neither_shipped_nor_a_folder_is_told_with_those_that_are() -> None:
    with pytest.raises(ProgrammeError, match=f"nowhere: no such folder.*{DEFAULT}"):
        programme_at("nowhere")


@pytest.mark.parametrize("name", shipped())
def test_all_that_patients_read_of_a_programme_is_at_sixth_grade_level(name: str) -> None:
    """Flesch-Kincaid (Kincaid 1975) of everything together, how-to and answers included."""
    texts = programme_at(name).words["en"]
    whole = Reading(0, 0, 0)
    for key, text in texts.items():
        if not key.endswith(".phrases"):
            whole += read(re.sub(r"{\w+}", "3", text))

    assert whole.words > 1000
    assert whole.grade <= 6.0


def test_nothing_in_python_or_in_the_general_catalogue_knows_the_part_of_the_body() -> None:
    """Left out are the words that people type (core/answers) and the scores of one joint."""
    root = Path(__file__).parents[3]
    files = [each for top in ("bot", "core") for each in (root / top).rglob("*.py")]
    knows = re.compile(r"elbow|wrist|forearm|\bpalms?\b|bottle|\d ml\b|\bml=", re.IGNORECASE)
    exempt = ("core/answers/", "core/scores/", "core/programme/reading_level.py")
    found = [
        f"{file.relative_to(root)}: {line.strip()}"
        for file in files
        for line in file.read_text(encoding="utf-8").splitlines()
        if knows.search(line) and not str(file.relative_to(root)).startswith(exempt)
    ]
    catalogue = (root / "bot/locale/en/LC_MESSAGES/holdlower.po").read_text(encoding="utf-8")
    for entry in catalogue.split("\n\n"):
        key = re.search(r'msgid "(.*)"', entry)
        text = entry.partition("msgstr")[2]
        if key and knows.search(text):
            found.append(f"{key[1]}: {text}")

    assert found == []
