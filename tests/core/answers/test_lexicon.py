"""A language is a folder: one that is copied and translated is read like English, and what is wrong in it is named."""

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from core.answers import lexicon, understand
from core.answers.lexicon import lexicon_of, read_language
from core.errors import LanguageError
from core.model import Flag
from core.understanding import Wish

FOLDERS = Path(lexicon.__file__).parent / "languages"
# A made-up language of twenty words. What it has no words for stays empty.
TRANSLATED = {
    "says": "pain = 'dolo'\nall = 'tuto'\nsets = 'tenoj'\nout_of = '# el #'\nrange = '# au #'\nother_day = 'hierau'\n",
    "idioms": "despair = 'mortas pro rido'\n",
    "emergencies": "[chest]\nflag = 'urgent'\nphrases = '<dolo> ~ brusto ; brusto <dolo>'\n",
    "despair": "[self_harm]\nflag = 'distress'\nphrases = 'volas morti'\n",
    "red_flags": "[numb]\nflag = 'red_flag'\nurgency = 'soon'\nphrases = 'mano sensenta'\n",
    "circumstances": "",
    "questions": "",
    "classes": "'$' = ''\n'^' = ''\n'!' = ''\ndolo = 'dolo doloras'\n",
}
WORDS = (
    ("words", "3 = ''", "3 = 'trio'"), ("words", "4 = ''", "4 = 'kvaro'"),
    ("words", "spelled = ''", "spelled = 'brusto'"), ("words", "fillers = ''", "fillers = 'estis mia la'"),
    ("scope", "not_ = ''", "not_ = 'ne'"), ("beside", "stop = ''", "stop = 'cesu skribi'"),
)  # fmt: skip
TEXT = re.compile(r"= (?:\'{3}[\s\S]*?\'{3}|'[^']*'|\"[^\"]*\")")


@pytest.fixture
def made_up(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A copy of the languages in which "xx" is one more."""
    shutil.copytree(FOLDERS, tmp_path, dirs_exist_ok=True)
    shutil.copytree(FOLDERS / "en", tmp_path / "xx")
    for file in (tmp_path / "xx").glob("*.toml"):
        emptied = TEXT.sub("= ''", file.read_text(encoding="utf-8"))
        file.write_text(TRANSLATED.get(file.stem, emptied), encoding="utf-8")
    for name, empty, translated in WORDS:
        change(tmp_path / "xx" / f"{name}.toml", empty, translated)
    monkeypatch.setattr(lexicon, "_FOLDERS", tmp_path)
    _forget()
    yield tmp_path / "xx"
    _forget()


def _forget() -> None:
    lexicon._languages.cache_clear()
    lexicon._language.cache_clear()


def change(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")


@pytest.mark.usefixtures("made_up")
def test_a_folder_that_was_copied_and_translated_is_a_language() -> None:
    answer = understand("Dolo kvaro, trio el kvaro tenoj", "xx-YY")
    assert (answer.pain, answer.sets, answer.unreadable) == (4, 3, False)
    assert understand("hierau 6, dolo 4 tuto", "xx").pain == 4
    assert understand("3 au 4, tuto", "xx").pain is None
    assert understand("la brusto doloras", "xx").flag is Flag.URGENT
    assert understand("mia bursto doloras", "xx").flag is Flag.URGENT  # a slip
    assert understand("ne mano sensenta. 4 tuto", "xx").flag is None
    assert understand("mano sensenta. 4 tuto", "xx").flag is Flag.RED_FLAG
    assert understand("cesu skribi", "xx").wish is Wish.STOP
    assert understand("the pain was 4 and i did all of them", "xx").unreadable


@pytest.mark.usefixtures("made_up")
def test_english_is_none_the_other_and_serves_what_has_no_folder() -> None:
    assert lexicon_of("yy") is lexicon_of("en-GB") is lexicon_of("en") is not lexicon_of("xx")
    assert understand("the pain was 4 and i did all of them", "yy").sets == 4


@pytest.mark.parametrize(
    ("name", "old", "new", "message"),
    [
        ("words", "topics = ''", "", "xx/words.toml: missing: topics"),
        ("words", "topics = ''", "topics = ''\ntopic = ''", "xx/words.toml: unknown: topic"),
        ("words", "topics = ''", "topics = 3", "xx/words.toml, topics: "),
        ("scope", "[only_after]", "[only_after]\nhe = 4", "xx/scope.toml, only_after, he: "),
        ("beside", "pause = ''", "halt = ''", "xx/beside.toml, wishes: 'halt' is not"),
        ("beside", "kg = 1000.0", "kg = 'many'", "xx/beside.toml, weights, grams, kg: expected float, found 'many'"),
        ("says", "all = 'tuto'", "every = 'tuto'", "xx/says.toml: 'every' is not"),
        ("red_flags", "flag = 'red_flag'", "flag = 'red'", "xx/red_flags.toml, numb, flag: 'red' is not"),
        ("red_flags", "phrases =", "words =", "xx/red_flags.toml, numb: unknown: words"),
        ("emergencies", "[chest]", "[chest", "emergencies.toml is not TOML: "),
    ],
)
def test_what_is_wrong_in_a_folder_is_named(made_up: Path, name: str, old: str, new: str, message: str) -> None:
    change(made_up / f"{name}.toml", old, new)

    with pytest.raises(LanguageError) as raised:
        read_language(made_up)

    assert message in str(raised.value)


def test_a_file_too_many_or_too_few_is_named(made_up: Path) -> None:
    shutil.copy(made_up / "says.toml", made_up / "saying.toml")
    with pytest.raises(LanguageError, match=r"xx: unknown: saying\.toml"):
        read_language(made_up)

    (made_up / "saying.toml").unlink()
    (made_up / "says.toml").unlink()
    with pytest.raises(LanguageError, match=r"xx: missing: says\.toml"):
        read_language(made_up)
